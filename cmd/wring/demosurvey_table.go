package main

// The delivery of pad felt and the gauge it was taken with; all of it invented.
const (
	feltGauge = "THK-005"
	feltLot   = "FELT-26-31"
)

// A demoOpening is what the balance under the gauge's foot indicated, in g.
type demoOpening struct {
	at                string
	lowering, lifting []string
}

var demoOpenings = []demoOpening{
	{"1 mm", []string{"288.1", "288.4", "288.2"}, []string{"291.0", "291.2", "291.1"}},
	{"3 mm", []string{"326.3", "326.2", "326.5"}, []string{"330.1", "330.0", "330.2"}},
	{"6 mm", []string{"366.2", "366.4", "366.3"}, []string{"371.0", "371.2", "371.1"}},
}

// demoFelt holds two readings in each cell of a grid of three across and five
// along, row by row: the felt is thin along its right edge.
var demoFelt = [][]string{
	{"0.200", "0.201"}, {"0.199", "0.199"}, {"0.196", "0.195"},
	{"0.201", "0.200"}, {"0.198", "0.199"}, {"0.196", "0.196"},
	{"0.200", "0.200"}, {"0.199", "0.198"}, {"0.195", "0.196"},
	{"0.201", "0.201"}, {"0.198", "0.198"}, {"0.196", "0.195"},
	{"0.200", "0.201"}, {"0.198", "0.199"}, {"0.196", "0.196"},
}

// demoCompression is one spot read under three pressures.
var demoCompression = [][2]string{{"5 psi", "0.203"}, {"6 psi", "0.200"}, {"7 psi", "0.198"}}
