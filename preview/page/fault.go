package page

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"regexp"
	"strconv"

	"gapshade/preview"
)

// refusal is a request that is not answered: a fault with an HTTP status.
type refusal struct {
	status int
	wait   int // seconds after which to ask again, 0 = don't
	preview.Fault
}

// refuse makes one.
func refuse(status int, what, next string) *refusal {
	return &refusal{status: status, Fault: preview.Fault{Code: preview.CodeUsage, What: what, Next: next}}
}

// misread is a value in a request that can't be.
func misread(what, next string) error {
	return &preview.Fault{Code: preview.CodeUsage, What: what, Next: next}
}

// shown is a fault as the page gets it: the words of the command.
type shown struct {
	What  string `json:"what"`
	Why   string `json:"why"`
	Next  string `json:"next"`
	Code  int    `json:"code"`
	Field string `json:"field,omitempty"` // the setting that was misread
}

// statusOf is the HTTP status of each exit code.
var statusOf = map[int]int{
	preview.CodeUsage: http.StatusUnprocessableEntity, preview.CodePhoto: http.StatusUnsupportedMediaType,
	preview.CodeLimit: http.StatusRequestEntityTooLarge, preview.CodeNoGaps: http.StatusUnprocessableEntity,
	preview.CodeOutput: http.StatusInsufficientStorage, preview.CodeInterrupted: http.StatusConflict,
}

// show puts an error into the words of the page.
func show(err error) (shown, int, int) {
	if r, ok := errors.AsType[*refusal](err); ok {
		return shown{What: r.What, Why: r.Why, Next: r.Next, Code: r.Code}, r.status, r.wait
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return shown{What: "the work was stopped", Code: preview.CodeInterrupted, Next: "start it again"}, http.StatusConflict, 0
	}
	f, ok := errors.AsType[*preview.Fault](err)
	if !ok {
		return shown{What: "something went wrong in the program", Why: err.Error(), Code: preview.CodeFailure,
			Next: "try again, or start gapshade page anew"}, http.StatusInternalServerError, 0
	}
	status, known := statusOf[f.Code]
	if !known {
		status = http.StatusInternalServerError
	}
	s := shown{What: f.What, Why: f.Why, Next: f.Next, Code: f.Code}
	if f.Code == preview.CodeUsage || f.Flag != "" {
		s.Field = fieldOf(f)
	}
	return s, status, 0
}

// flagName finds the flag that a fault names.
var flagName = regexp.MustCompile(`--([a-z][a-z-]*)`)

// fieldOf is the setting that a fault is about: that of its flag, or of the first flag
// in its words; "" when there is none.
func fieldOf(f *preview.Fault) string {
	flag := f.Flag
	if m := flagName.FindStringSubmatch(f.What); flag == "" && m != nil {
		flag = m[1]
	}
	switch flag {
	case "distance":
		return "distances"
	case "second-bed":
		return "second_bed"
	case "tile", "joint", "thickness", "material", "place", "kind", "edge", "allowance", "temperature", "start", "units", "variation", "clock":
		return "job." + flag
	case "pot-life":
		return "job.pot_life"
	}
	return flag
}

// fail answers with an error.
func fail(w http.ResponseWriter, err error) {
	s, status, wait := show(err)
	if wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(wait))
	}
	reply(w, status, s)
}

// reply answers with JSON. It is made whole before anything is sent.
func reply(w http.ResponseWriter, status int, v any) {
	b, err := json.Marshal(v)
	if err != nil {
		status, b = http.StatusInternalServerError, []byte(`{"what":"the answer can't be written","why":"","next":"try again","code":1}`)
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	w.Write(append(b, '\n'))
}
