package calib

// An EarlierCheck is what is known of a gauge's last check before its records
// began here: that it was made, not how. Nothing is computed from it but the
// first due date.
type EarlierCheck struct {
	Gauge string `json:"gauge" validate:"required,identity"`
	Date  Date   `json:"date"`

	// Verdict is pass, fail, or empty where it is not known.
	Verdict Verdict `json:"verdict,omitempty" validate:"omitempty,oneof=pass fail"`

	Certificate string `json:"certificate,omitempty" validate:"max=60,line"` // its number
}

// EarlierVerdicts lists what may be known of one.
func EarlierVerdicts() []Verdict { return []Verdict{"pass", "fail"} }
