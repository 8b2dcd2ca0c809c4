package net

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Figures of the training run (segment/MODEL.md): 24, 40, 72 and 128 planes; 4,
// 4, 5 and 8 encoder blocks, the first of each level included; 3 decoder blocks.
func TestLoadShape(t *testing.T) {
	n, err := Load()
	require.NoError(t, err)
	require.Equal(t, 4, len(n.enc))
	require.Equal(t, 3, len(n.dec))
	for i, c := range []int{24, 40, 72, 128} {
		assert.Equal(t, c, n.channels(i))
	}
	for i, blocks := range []int{4, 4, 5, 8} {
		assert.Equal(t, blocks, len(n.enc[i]))
	}
	for _, d := range n.dec {
		assert.Equal(t, 3, len(d))
	}
}

// Every case spoils one thing in a good list; the error must name it.
func TestParseRefuses(t *testing.T) {
	cases := []struct {
		name  string
		spoil func(f *listed)
		want  string
	}{
		{"kernel size", func(f *listed) { f.Layers[2].K = 3 }, "layer enc0.block0.1 is"},
		{"stride", func(f *listed) { f.Layers[0].Stride = 1 }, "layer stem.0 is"},
		{"groups", func(f *listed) { f.Layers[1].Groups = 1 }, "layer enc0.block0.0 is"},
		{"activation", func(f *listed) { f.Layers[1].Relu = false }, "layer enc0.block0.0 is"},
		{"channels that do not chain", func(f *listed) { f.Layers[2].In = 12 }, "layer enc0.block0.1 is"},
		{"odd channels", func(f *listed) { f.Layers[0].Out = 10 }, "10 channels"},
		{"no channels", func(f *listed) { f.Layers[0].Out = -8 }, "-8 channels"},
		{"weights elsewhere", func(f *listed) { f.Layers[3].WeightAt-- }, "layer enc0.block1.residual.0: weights at"},
		{"biases elsewhere", func(f *listed) { f.Layers[3].BiasAt++ }, "layer enc0.block1.residual.0: weights at"},
		{"order", func(f *listed) { f.Layers[0], f.Layers[1] = f.Layers[1], f.Layers[0] }, `"enc0.block0.0" stands where "stem.0" is expected`},
		{"name", func(f *listed) { f.Layers[3].Name = "enc0.block1.0" }, `"enc0.block1.0" stands where`},
		{"only a stem", func(f *listed) { f.Layers = f.Layers[:1] }, "no enc0.block0"},
		{"no head", func(f *listed) { f.Layers = f.Layers[:len(f.Layers)-1] }, "ends before head"},
		{"layers left over", func(f *listed) { f.Layers = append(f.Layers, layer{Name: "x"}) }, "left over"},
		{"floats left over", func(f *listed) { f.values = append(f.values, 1); f.Floats++ }, "left over"},
		{"short weights", func(f *listed) { f.values = f.values[1:] }, "export both files together"},
		{"weights that end early", func(f *listed) { f.values = f.values[1:]; f.Floats-- }, "layer head: weights at"},
		{"a weight of infinity", func(f *listed) { f.values[7] /= 0 * f.values[8] }, "weight 7 is not finite"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := randomNet(rand.New(rand.NewPCG(1, 1)), []int{8, 12}, 1)
			_, err := Parse(f.files())
			require.NoError(t, err)
			c.spoil(&f)
			_, err = Parse(f.files())
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestParseRefusesNoJSON(t *testing.T) {
	_, err := Parse([]byte("weights"), nil)
	require.ErrorContains(t, err, "layer list")
	_, err = Parse([]byte("{}"), nil)
	require.ErrorContains(t, err, "ends before stem.0")
}

// Oracle: the layer list's own rule, weights in the order out, in. Every weight
// must be found once, the rest be zero.
func TestNewMixerOrder(t *testing.T) {
	const in, out = 27, 8
	w := make([]float32, in*out)
	for i := range w {
		w[i] = float32(i + 1)
	}
	m := newMixer(w, make([]float32, out), in, out)
	require.Equal(t, 28, m.in)
	require.Len(t, m.w, 28*out)
	for o := range out {
		for k := range 28 {
			block := m.w[(o/4*7+k/4)*16:][:16]
			want := float32(0)
			if k < in {
				want = float32(o*in + k + 1)
			}
			assert.Equal(t, want, block[o%4*4+k%4], "output %d, input %d", o, k)
		}
	}
}
