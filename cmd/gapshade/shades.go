package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gapshade/preview/grout"
)

func shadesCommand(t *talk) *cobra.Command {
	c := &cobra.Command{
		Use:   "shades",
		Short: "list the built-in shades; read your own from a photo; mix two",
		Long: `shades lists the built-in shades. Its commands read cured samples from a photo
and predict what a mix of two powders will look like.`,
		Example: "  gapshade shades\n  gapshade shades measure chips.jpg --reference white\n  gapshade shades blend light-warm near-black --parts 3:1",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			next := "gapshade shades --help lists its commands"
			if near := nearest(args[0], []string{"measure", "blend"}); near != "" {
				next = "did you mean gapshade shades " + near + "?"
			}
			return argFault("shades has no command %s", next, quote(args[0]))
		},
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintf(t.out, "%-12s %-6s %-5s %6s %6s %6s  %s\n", "id", "depth", "cast", "L*", "a*", "b*", "hex")
			for _, s := range grout.Palette() {
				fmt.Fprintf(t.out, "%-12s %-6s %-5s %6.2f %6.2f %6.2f  %s\n",
					s.ID, s.Depth, s.Cast, s.Lab.L, s.Lab.A, s.Lab.B, s.Lab.LinearRGB().Hex())
			}
			return nil
		},
	}
	c.AddCommand(measureCommand(t), blendCommand(t))
	return c
}

// blendWords are the flags of shades blend as typed.
type blendWords struct {
	parts, sample, from, id string
	lightness               float64
}

func blendCommand(t *talk) *cobra.Command {
	w := &blendWords{}
	c := &cobra.Command{
		Use:   "blend A B",
		Short: "predict the cured colour of two grout powders mixed by weight",
		Long: `blend predicts what two powders mixed dry by weight will look like cured, or
which ratio gives a lightness. A and B are ids of shades or colours like
#a1a09c.`,
		Example: "  gapshade shades blend light-warm near-black --parts 3:1\n  gapshade shades blend near-white near-black --target-lightness 60",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return argFault("blend takes two shades; %d given", "gapshade shades blend light-warm near-black --parts 3:1", len(args))
		},
		RunE: func(_ *cobra.Command, args []string) error { return w.blend(t, args[0], args[1]) },
	}
	f := c.Flags()
	f.SortFlags = false
	f.StringVar(&w.parts, "parts", "", "parts of A to parts of B by weight, such as 2:1")
	f.Float64Var(&w.lightness, "target-lightness", 0, "the L* wanted, 0 to 100; gives the parts")
	f.StringVar(&w.sample, "sample", "", "parts and the L* of a sample of them that has dried, such as 2:1=47; makes the prediction fit it")
	f.StringVar(&w.from, "from", "", "a CSV file of your own shades, as for preview --shades, to take A and B from")
	f.StringVar(&w.id, "id", "mix", "the id of the mix in the line for a shades file")
	return c
}

// blend predicts and prints.
func (w *blendWords) blend(t *talk, first, second string) error {
	b, err := w.powders(first, second)
	if err != nil {
		return err
	}
	if b, err = w.calibrated(b); err != nil {
		return err
	}
	m, err := w.mix(b)
	if err != nil {
		return err
	}
	s, err := grout.New(w.id, m.Lab)
	if err != nil {
		return argFault("--id: %v", "such as --id my-mix", err)
	}
	fmt.Fprintf(t.out, "%s and %s, %s by weight of dry powder\n\n", b.A.ID, b.B.ID, partsOf(m.Share))
	fmt.Fprintf(t.out, "  L* %.1f  a* %.1f  b* %.1f  %s  %s, %s\n", m.Lab.L, noMinus(m.Lab.A), noMinus(m.Lab.B), m.Lab.LinearRGB().Hex(), s.Depth, s.Cast)
	fmt.Fprintf(t.out, "  for 1 kg: %.0f g %s and %.0f g %s\n", 1000*(1-m.Share), b.A.ID, 1000*m.Share, b.B.ID)
	fmt.Fprintf(t.out, "\nfor a shades file:\n  id,L,a,b\n  %s,%.2f,%.2f,%.2f\n\n", s.ID, m.Lab.L, noMinus(m.Lab.A), noMinus(m.Lab.B))
	fmt.Fprint(t.out, limits(b, m))
	return nil
}

// powders finds the two shades.
func (w *blendWords) powders(first, second string) (b grout.Blend, err error) {
	var own []grout.Shade
	if w.from != "" {
		if !strings.HasSuffix(strings.ToLower(w.from), ".csv") {
			return b, argFault("--from %s is no CSV file", "name a file that ends in .csv", quote(w.from))
		}
		if own, err = grout.Choose(w.from); err != nil {
			return b, argFault("--from: %v", "write id,L,a,b or id,hex in its first line", err)
		}
	}
	if b.A, err = grout.Named(first, own); err == nil {
		b.B, err = grout.Named(second, own)
	}
	if err != nil {
		return b, argFault("%v", "gapshade shades lists the built-in ones", err)
	}
	if b.A.Lab == b.B.Lab {
		return b, argFault("%s and %s are the same colour; no mix of them differs", "name two shades", first, second)
	}
	return b, nil
}

// calibrated fits the blend to a dried sample, if one was given.
func (w *blendWords) calibrated(b grout.Blend) (grout.Blend, error) {
	if w.sample == "" {
		return b, nil
	}
	parts, l, ok := strings.Cut(w.sample, "=")
	share, err := grout.ParseParts(parts)
	seen, errL := strconv.ParseFloat(strings.TrimSpace(l), 64)
	if !ok || err != nil || errL != nil {
		return b, argFault("--sample %s is not parts and a lightness", "such as --sample 2:1=47", quote(w.sample))
	}
	c, ok := b.Calibrate(share, seen)
	if !ok {
		return b, argFault("--sample: no mix of %s and %s in these parts has L* %g", "check the parts and the lightness of the dried sample", b.A.ID, b.B.ID, seen)
	}
	return c, nil
}

// mix is what was asked for: a ratio, or a lightness.
func (w *blendWords) mix(b grout.Blend) (m grout.Mix, err error) {
	switch {
	case w.parts != "" && w.lightness != 0:
		return m, argFault("--parts and --target-lightness ask for two things", "give one of them")
	case w.parts != "":
		share, err := grout.ParseParts(w.parts)
		if err != nil {
			return m, argFault("--parts: %v", "such as --parts 2:1", err)
		}
		return b.At(share), nil
	case w.lightness != 0:
		m, ok := b.For(w.lightness)
		if !ok {
			return m, argFault("no mix of %s (L* %.0f) and %s (L* %.0f) has L* %g", "ask for a lightness between the two", b.A.ID, b.A.Lab.L, b.B.ID, b.B.Lab.L, w.lightness)
		}
		return m, nil
	}
	return m, argFault("blend needs a ratio or a lightness", "add --parts 2:1, or --target-lightness 60")
}

// partsOf prints a share as parts: the smaller one is 1.
func partsOf(share float64) string {
	number := func(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }
	switch {
	case share <= 0:
		return "all of the first"
	case share >= 1:
		return "all of the second"
	case share <= .5:
		return number((1-share)/share) + " parts to 1"
	}
	return "1 part to " + number(share/(1-share))
}

// noMinus keeps a rounded zero from printing as "-0.0".
func noMinus(v float64) float64 {
	if v > -.05 && v < 0 {
		return 0
	}
	return v
}

// limits says what the prediction is worth.
func limits(b grout.Blend, m grout.Mix) string {
	if b.Strength != 0 {
		return "fitted to your dried sample; the further from its parts, the less it tells\n"
	}
	return fmt.Sprintf(`limits: the dark powder wins. This assumes that both scatter light alike; black
and coloured pigments scatter less than cement, and then the mix comes out
lighter, at most L* %.0f. Water, suction and curing shift it further.
Mix a spoonful, let it dry, and give what you see: --sample 2:1=L
`, m.PlainL)
}
