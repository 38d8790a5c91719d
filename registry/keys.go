package registry

import (
	"encoding/binary"
	"fmt"

	"example.org/wring/calib"
)

// The trees of the file. The journal is the record, and with it go the files
// that its entries name; the others are views that can be dropped and made
// again from it.
//
//	journal       sequence, 8 bytes big endian → chain hash, format, canonical
//	              JSON; in pieces, see store/pieces.go
//	attachments   SHA-256, 32 bytes → the file's bytes
//	gauges        identity → state, JSON
//	standards     identity → state, JSON
//	certificates  identity 0x00 day(4) sequence(8) → sequence and certificate, JSON
//	plans         name 0x00 revision(4) → sequence and plan, JSON
//	due           day(4) identity → row as printed, see duerow.go; for a part other than
//	              length or another clock day(4) identity 0x00 part 0x00 clock
//	series        identity 0x00 sequence(8) → row of fixed width, see series.go
//	by standard   identity 0x00 sequence(8) → nothing
//	methods       name 0x00 revision(4) → sequence and method, JSON
//	lots          identity 0x00 revision(4) → sequence and lot, JSON
//	by lot        identity 0x00 sequence(8) → nothing, or the entry that withdrew it
//	uses          identity 0x00 sequence(8) → the same
//	studies       kind 0x00 sequence(8) → the same; of studies and comparisons
//	look-backs    identity 0x00 sequence(8) → look-back with its dispositions, JSON
//	house         "house" → the house as last amended, with the entry;
//	              "backup" → the last backup; "release rules" → the rules and
//	              since when; "release" 0x00 sequence(8) of a check → sequence
//	              of its release; "person" 0x00 identity → person; "replaced"
//	              0x00 sequence(8) of a check whose certificate counts no more →
//	              by which entry, and who was told; all JSON
//
// day(4) is the civil day since 1970 with the sign bit turned, big endian, so
// that earlier days sort first.
const (
	treeJournal      = "journal"
	treeAttachments  = "attachments"
	treeGauges       = "gauges"
	treeStandards    = "standards"
	treeCertificates = "certificates"
	treePlans        = "plans"
	treeDue          = "due"
	treeSeries       = "series"
	treeByStandard   = "by standard"
	treeLookBacks    = "look-backs"
	treeMethods      = "methods"
	treeLots         = "lots"
	treeByLot        = "by lot"
	treeUses         = "uses"
	treeStudies      = "studies"
	treeHouse        = "house"
)

// views lists the trees that are derived from the journal.
func views() []string {
	return []string{treeGauges, treeStandards, treeCertificates, treePlans, treeDue, treeSeries, treeByStandard, treeMethods, treeLots, treeByLot, treeUses, treeLookBacks, treeStudies, treeHouse}
}

func seqKey(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

func idSeqKey(id string, seq uint64) []byte {
	return binary.BigEndian.AppendUint64(append([]byte(id), 0), seq)
}

func planKey(name string, revision int) []byte {
	return binary.BigEndian.AppendUint32(append([]byte(name), 0), uint32(revision))
}

func certificateKey(id string, d calib.Date, seq uint64) []byte {
	key := append([]byte(id), 0)
	key = append(key, dayKey(d)...)
	return binary.BigEndian.AppendUint64(key, seq)
}

func dueKey(d calib.Date, id string) []byte { return append(dayKey(d), id...) }

func dayKey(d calib.Date) []byte {
	return binary.BigEndian.AppendUint32(nil, uint32(d.Day())^(1<<31))
}

// under returns the bounds of all keys that begin with id and 0x00.
func under(id string) (from, to []byte) {
	return append([]byte(id), 0), append([]byte(id), 1)
}

func seqOf(key []byte) (uint64, error) {
	if len(key) < 8 {
		return 0, &DamageError{Reason: fmt.Sprintf("a key of %d bytes; want a sequence number at its end", len(key))}
	}
	return binary.BigEndian.Uint64(key[len(key)-8:]), nil
}
