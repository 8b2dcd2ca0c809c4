package contrast

import (
	"fmt"
	"math"

	"gapshade/colormath"
)

// ColourWords names a colour in plain words: "dark teal", "light grey", "cream".
// The borders are ours, drawn by hue angle, chroma and lightness in CIELAB so
// that everyday things fall where people put them; nothing is measured by them.
func ColourWords(c colormath.Lab) string {
	chroma, hue := c.Chroma(), c.Hue()
	switch {
	case chroma < 6 || c.L < 12:
		return greyWords(c.L)
	case c.L >= 86 && chroma < 9:
		return "white"
	}
	if earth := earthWords(c.L, chroma, hue); earth != "" {
		return earth
	}
	text := hueWord(c.L, hue)
	if chroma < 13 {
		text = "greyish " + text
	}
	dark, light := 35.0, 70.0
	if text == "yellow" || text == "yellow-green" {
		dark, light = 60, 88 // yellow is light by nature
	}
	switch {
	case c.L < dark:
		return "dark " + text
	case c.L >= light && text != "pink":
		return "light " + text
	}
	return text
}

func greyWords(l float64) string {
	switch {
	case l >= 86:
		return "white"
	case l >= 70:
		return "light grey"
	case l >= 45:
		return "mid grey"
	case l >= 22:
		return "dark grey"
	}
	return "black"
}

// earthWords names orange and yellow hues that are dark or weak; "" for any
// other colour.
func earthWords(l, chroma, hue float64) string {
	switch {
	case hue < 44 || hue > 115:
		return ""
	case l >= 80 && chroma < 28 && hue > 55:
		return "cream"
	case l >= 62 && chroma < 28 && hue > 55:
		return "beige"
	case l < 50 && hue > 88:
		return "olive"
	case l < 28:
		return "dark brown"
	case l < 45 || l < 50 && chroma < 45:
		return "brown"
	case chroma < 28:
		return "light brown"
	}
	return ""
}

// hues are the last angle, degrees, of each plain hue; red and pink meet at 0.
var hues = []struct {
	upTo float64
	word string
}{{15, "pink"}, {50, "red"}, {77, "orange"}, {107, "yellow"}, {120, "yellow-green"}, {170, "green"}, {235, "teal"}, {301.5, "blue"}, {335, "purple"}, {360, "pink"}}

func hueWord(l, hue float64) string {
	word := ""
	for _, h := range hues {
		if word = h.word; hue < h.upTo {
			break
		}
	}
	switch {
	case word == "pink" && l < 50:
		return "red" // crimson and wine
	case word == "red" && l >= 66:
		return "pink"
	}
	return word
}

// nameAll names every cluster, no two alike: of two with the same words one is
// the lighter; more are told apart by their lightness in figures.
func nameAll(clusters []Cluster) {
	same := map[string][]int{}
	for k := range clusters {
		clusters[k].Name = ColourWords(clusters[k].Lab)
		same[clusters[k].Name] = append(same[clusters[k].Name], k)
	}
	for _, ks := range same {
		for _, k := range ks {
			c := &clusters[k]
			switch {
			case len(ks) == 1:
			case len(ks) == 2 && math.Abs(clusters[ks[0]].Lab.L-clusters[ks[1]].Lab.L) >= 4:
				if c.Lab.L == max(clusters[ks[0]].Lab.L, clusters[ks[1]].Lab.L) {
					c.Name = "lighter " + c.Name
				} else {
					c.Name = "darker " + c.Name
				}
			default:
				c.Name = fmt.Sprintf("%s (L* %.0f, a* %.0f, b* %.0f)", c.Name, c.Lab.L, c.Lab.A, c.Lab.B)
			}
		}
	}
}

// Phrase is the cluster as it stands in a sentence: "the 64 dark teal tiles in
// the upper left".
func (c *Cluster) Phrase() string {
	if c.Tiles == 1 {
		return "the one " + c.Name + " tile " + c.Where
	}
	return fmt.Sprintf("the %d %s tiles %s", c.Tiles, c.Name, c.Where)
}
