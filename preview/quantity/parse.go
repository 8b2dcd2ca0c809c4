package quantity

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// What people type about a job. Lengths are read where photos are; the rest is
// read here. A comma may stand for the decimal point. Errors are *Error.

const number = `([0-9]+(?:[.,][0-9]+)?)`

var (
	sharePattern  = regexp.MustCompile(`^` + number + `\s*%$`)
	warmthPattern = regexp.MustCompile(`^([-−]?)` + number + `\s*°?\s*([CF])$`)
	timePattern   = regexp.MustCompile(`^(?:` + number + `\s*(?:h|hours?))?\s*(?:` + number + `\s*(?:m|min|minutes?))?$`)
)

// value is a number that one of the patterns let through.
func value(s string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64) // "" is 0; too many digits give ±Inf, refused by Check
	return v
}

// ParseShare reads 10% as 0.1.
func ParseShare(s string) (float64, error) {
	m := sharePattern.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return 0, refuse("write a percentage, such as 10%", "%q is not a share", s)
	}
	return value(m[1]) / 100, nil
}

// ParseTemperature reads 21C and 70F as °C. The letter is needed, since 40 is a
// hot day on one scale and frost on the other.
func ParseTemperature(s string) (float64, error) {
	m := warmthPattern.FindStringSubmatch(strings.ToUpper(strings.TrimSpace(s)))
	if m == nil {
		return 0, refuse("write it with its letter, such as 21C or 70F", "%q is not a temperature", s)
	}
	v := value(m[2])
	if m[1] != "" {
		v = -v
	}
	if m[3] == "F" {
		return Celsius(v), nil
	}
	return v, nil
}

// ParseMinutes reads 45min, 1h and 1h 30min.
func ParseMinutes(s string) (float64, error) {
	m := timePattern.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil || m[1] == "" && m[2] == "" {
		return 0, refuse("write it with its unit, such as 45min or 1h 30min", "%q is not a length of time", s)
	}
	return 60*value(m[1]) + value(m[2]), nil
}

// Years in which a clock is believed, ours: beyond them a slip of the hand is
// likelier, and the calendar's four digits end.
const firstYear, lastYear = 2000, 2999

// ParseStart reads the wall clock of the first water: 2026-05-04T10:00, or with
// a blank for the T.
func ParseStart(s string) (time.Time, error) {
	for _, layout := range []string{stamp, "2006-01-02 15:04"} {
		t, err := time.Parse(layout, strings.TrimSpace(s))
		if err == nil && t.Year() >= firstYear && t.Year() <= lastYear {
			return t, nil
		}
	}
	return time.Time{}, refuse("write year-month-dayThours:minutes, such as 2026-05-04T10:00", "%q is not a day and a time", s)
}
