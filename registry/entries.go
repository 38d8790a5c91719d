package registry

import (
	"example.org/wring/calib"
)

// The kinds of entry. A newer program may add kinds; it never changes one.
const (
	KindHouse       = "house"
	KindGauge       = "gauge"
	KindAmendment   = "gauge amended"
	KindStatus      = "gauge status"
	KindStandard    = "standard"
	KindCertificate = "standard certificate"
	KindPlan        = "plan"
	KindCheck       = "check"

	KindEarlier = "earlier check"

	KindCheckAmended = "check amended"
	KindAttachment   = "attachment"
	KindBackup       = "backup"
	KindRestore      = "restore"

	KindInterval    = "interval accepted"
	KindLookBack    = "look-back opened"
	KindDisposition = "look-back disposition"
)

// An Opening is the payload of the first entry: the registry's own identity,
// chosen at random, and the house that keeps it.
type Opening struct {
	Registry string      `json:"registry"` // 32 hexadecimal digits
	House    calib.House `json:"house"`
}

// An Amendment is the payload of a change to a gauge's record: the whole new
// record, and what was changed and why.
type Amendment struct {
	Gauge   calib.Gauge `json:"gauge"`
	Changes []Change    `json:"changes"`
	Reason  string      `json:"reason"`
}

// A Change is one field's old and new value, as printed.
type Change struct {
	Field string `json:"field"`
	Old   string `json:"old"`
	New   string `json:"new"`
}

// A KeptCheck is the payload of a check: what was observed, what it rests on,
// and what was computed from both.
type KeptCheck struct {
	Check  calib.Check  `json:"check"`
	Basis  Refs         `json:"basis"`
	Result calib.Result `json:"result"`
}

// Refs names the entries that a check rests on. Entries never change, so the
// numbers say all.
type Refs struct {
	Gauge     uint64        `json:"gauge"`
	Status    calib.Status  `json:"status"` // of the gauge, when it was checked
	Plan      uint64        `json:"plan"`
	Standards []StandardRef `json:"standards,omitempty"`

	// House is the last amendment of the house that a check by force rests on;
	// 0 where the first entry holds, or the check rests on no place.
	House uint64 `json:"house,omitempty"`
}

// A StandardRef names a standard's entry and that of the certificate that
// counted; Certificate is 0 where none did.
type StandardRef struct {
	ID          string `json:"id"`
	Standard    uint64 `json:"standard"`
	Certificate uint64 `json:"certificate,omitempty"`
}
