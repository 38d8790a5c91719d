package registry

import (
	"cmp"
	"time"

	"example.org/wring/registry/journal"
)

// A Backup is the payload of the entry that says a copy was made and verified.
// The copy holds everything up to the entry before it.
type Backup struct {
	Head   string `json:"head"`   // of the copy, as it is printed
	Name   string `json:"name"`   // of the file, without its folder
	Bytes  int64  `json:"bytes"`  // of the file
	SHA256 string `json:"sha256"` // of the file, 64 hexadecimal digits

	// RemindDays is after how many days without another backup a reminder is
	// given, 1 or more.
	RemindDays int `json:"remind_days"`
}

// A Restore is the payload of the entry that a restored registry begins anew
// with: what came back, and from where.
type Restore struct {
	Head        string `json:"head"`        // of what was restored
	Name        string `json:"name"`        // of the backup, without its folder
	SHA256      string `json:"sha256"`      // of the backup
	Attachments int    `json:"attachments"` // files that came with it

	// Replaced is the head of the registry that stood there before; empty
	// where none did or it could not be read.
	Replaced string `json:"replaced,omitempty"`
}

// A LastBackup is when a registry was last copied.
type LastBackup struct {
	Entry      uint64    `json:"entry"` // 0 where no backup was ever made
	At         time.Time `json:"at"`    // of the backup, else of the registry's first entry
	RemindDays int       `json:"remind_days"`
}

// defaultReminder is after how many days without a backup a reminder is given
// where none was ever made: a house rule.
const defaultReminder = 30

// AddBackup enters that a copy was made.
func (tx *Tx) AddBackup(b Backup) (journal.Head, error) { return tx.append(KindBackup, b) }

// AddRestore enters that the registry was restored.
func (tx *Tx) AddRestore(r Restore) (journal.Head, error) { return tx.append(KindRestore, r) }

func (tx *Tx) applyBackup(e journal.Entry) error {
	var b Backup
	if err := decode(e, &b); err != nil {
		return err
	}
	return tx.put(treeHouse, []byte(keyBackup), LastBackup{e.Seq, e.At, b.RemindDays})
}

const keyBackup = "backup"

// LastBackup returns when the registry was last copied. What was said last of
// the reminder counts: by the backup, or by the house since.
func (tx *Tx) LastBackup() (LastBackup, error) {
	var b LastBackup
	ok, err := tx.get(treeHouse, []byte(keyBackup), &b)
	if err != nil {
		return b, err
	}
	o, amended, err := tx.houseNow()
	if err != nil {
		return b, err
	}
	if !ok {
		e, _, err := tx.Entry(1)
		return LastBackup{At: e.At, RemindDays: cmp.Or(o.House.RemindDays, defaultReminder)}, err
	}
	if amended > b.Entry {
		b.RemindDays = cmp.Or(o.House.RemindDays, b.RemindDays)
	}
	return b, nil
}

// Late reports for how many days a backup has been overdue at that moment; 0
// where it is not.
func (b LastBackup) Late(now time.Time) int {
	return max(0, int(now.Sub(b.At).Hours()/24)-b.RemindDays)
}
