package archive

import (
	"encoding/binary"
	"flag"
	"math"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the colour profile")

type matrix [3][3]float64

func (m matrix) times(v [3]float64) (out [3]float64) {
	for i := range 3 {
		for j := range 3 {
			out[i] += m[i][j] * v[j]
		}
	}
	return out
}

func (m matrix) with(n matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += m[i][k] * n[k][j]
			}
		}
	}
	return out
}

func (m matrix) inverse() (out matrix) {
	det := 0.0
	for i := range 3 {
		det += m[0][i] * (m[1][(i+1)%3]*m[2][(i+2)%3] - m[1][(i+2)%3]*m[2][(i+1)%3])
	}
	for i := range 3 {
		for j := range 3 {
			out[j][i] = (m[(i+1)%3][(j+1)%3]*m[(i+2)%3][(j+2)%3] - m[(i+1)%3][(j+2)%3]*m[(i+2)%3][(j+1)%3]) / det
		}
	}
	return out
}

func white(x, y float64) [3]float64 { return [3]float64{x / y, 1, (1 - x - y) / y} }

// primaries are the columns of red, green and blue seen under D50: those of IEC
// 61966-2-1 (chromaticities from memory: 0.64 0.33, 0.30 0.60, 0.15 0.06, white
// 0.3127 0.3290), adapted by the Bradford transform (matrix from memory), which
// is what profiles use.
func primaries() matrix {
	d65, d50 := white(0.3127, 0.3290), [3]float64{0.9642, 1, 0.8249}
	var p matrix
	for j, c := range [][2]float64{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}} {
		w := white(c[0], c[1])
		for i := range 3 {
			p[i][j] = w[i]
		}
	}
	scale := p.inverse().times(d65)
	for i := range 3 {
		for j := range 3 {
			p[i][j] *= scale[j]
		}
	}
	bradford := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := bradford.times(d65), bradford.times(d50)
	var gain matrix
	for i := range 3 {
		gain[i][i] = to[i] / from[i]
	}
	return bradford.inverse().with(gain).with(bradford).with(p)
}

// made is the profile: ICC.1:2001-04 (version 2.4; layout from memory, and held
// by the independent checker), a matrix and one curve of 1024 steps.
func made() []byte {
	be := binary.BigEndian
	fixed := func(b []byte, v float64) []byte { return be.AppendUint32(b, uint32(int32(math.Round(v*65536)))) }
	xyz := func(v [3]float64) []byte {
		b := append([]byte("XYZ "), 0, 0, 0, 0)
		for _, c := range v {
			b = fixed(b, c)
		}
		return b
	}
	desc := be.AppendUint32(append([]byte("desc"), 0, 0, 0, 0), 5)
	desc = append(desc, "sRGB\x00"...)
	desc = append(desc, make([]byte, 4+4+2+1+67)...)
	curve := be.AppendUint32(append([]byte("curv"), 0, 0, 0, 0), 1024)
	for i := range 1024 {
		v := float64(i) / 1023
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		curve = be.AppendUint16(curve, uint16(math.Round(v*65535)))
	}
	p := primaries()
	column := func(j int) [3]float64 { return [3]float64{p[0][j], p[1][j], p[2][j]} }
	blocks := [][]byte{desc, append([]byte("text\x00\x00\x00\x00"), "No rights reserved\x00"...), xyz([3]float64{0.9642, 1, 0.8249}),
		xyz(column(0)), xyz(column(1)), xyz(column(2)), curve}
	tags := []struct {
		name  string
		block int
	}{{"desc", 0}, {"cprt", 1}, {"wtpt", 2}, {"rXYZ", 3}, {"gXYZ", 4}, {"bXYZ", 5}, {"rTRC", 6}, {"gTRC", 6}, {"bTRC", 6}}
	at := 128 + 4 + 12*len(tags)
	var body []byte
	starts := make([]int, len(blocks))
	for i, b := range blocks {
		starts[i] = at + len(body)
		body = append(body, b...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	h := make([]byte, 128)
	be.PutUint32(h, uint32(at+len(body)))
	be.PutUint32(h[8:], 0x02400000)
	copy(h[12:], "mntrRGB XYZ ")
	for i, v := range []uint16{2026, 1, 1} {
		be.PutUint16(h[24+2*i:], v)
	}
	copy(h[36:], "acsp")
	copy(h[68:], fixed(fixed(fixed(nil, 0.9642), 1), 0.8249))
	h = be.AppendUint32(h, uint32(len(tags)))
	for _, t := range tags {
		h = append(h, t.name...)
		h = be.AppendUint32(be.AppendUint32(h, uint32(starts[t.block])), uint32(len(blocks[t.block])))
	}
	return append(h, body...)
}

// The file is kept, so that no machine's arithmetic can change a certificate.
func TestTheColourProfileIsWhatTheFormulaGives(t *testing.T) {
	want := made()
	if *update {
		if err := os.WriteFile("srgb.icc", want, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if len(profile) != len(want) {
		t.Fatalf("%d bytes; want %d", len(profile), len(want))
	}
	for i := range want {
		// Another machine may round the last place of a number otherwise.
		if d := int(profile[i]) - int(want[i]); d < -1 || d > 1 {
			t.Fatalf("byte %d is %#x; want %#x", i, profile[i], want[i])
		}
	}
	// Read in profiles of this space: red 0.436, 0.222, 0.014 under D50.
	p := primaries()
	for i, v := range []float64{0.436, 0.222, 0.014} {
		if math.Abs(p[i][0]-v) > 0.0006 {
			t.Errorf("red, coordinate %d: %.4f; want %.3f", i, p[i][0], v)
		}
	}
}
