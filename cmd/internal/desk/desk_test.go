package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"strew/cmd/internal/engine"
	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/sheet"
)

// seat is somebody at a desk who follows what it tells.
type seat struct {
	*Desk
	t     testing.TB
	parts <-chan Message
	last  map[string]map[string]any
}

// patience is far more than any plan here takes on a slow machine.
const patience = time.Minute

func sit(t testing.TB) *seat {
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	d := New(ctx)
	return &seat{d, t, d.Watch(ctx), map[string]map[string]any{}}
}

// until follows the desk until what it told last is as wanted.
func (s *seat) until(what string, is func() bool) {
	s.t.Helper()
	for limit := time.After(patience); !is(); {
		select {
		case m := <-s.parts:
			var v map[string]any
			if err := json.Unmarshal(m.Data, &v); err != nil || v["part"] != m.Part {
				s.t.Fatalf("%s: %v, part %v", m.Part, err, v["part"])
			}
			s.last[m.Part] = v
		case <-limit:
			s.t.Fatalf("never %s; state %v", what, s.last["refused"])
		}
	}
}

func (s *seat) rev(part string) int {
	n, _ := s.last[part]["rev"].(float64)
	return int(n)
}

// done follows until the plan of a revision is done.
func (s *seat) done(rev int) {
	s.t.Helper()
	s.until(fmt.Sprintf("done with %d", rev), func() bool { return s.rev("sum") >= rev })
}

// ask calls the desk and returns the answer as JSON has it.
func (s *seat) ask(name string, args any) (any, error) {
	raw, err := json.Marshal(args)
	if err != nil {
		s.t.Fatal(err)
	}
	return s.Call(context.Background(), name, raw)
}

// change calls the desk for a change and returns its revision.
func (s *seat) change(name string, args any) int {
	s.t.Helper()
	got, err := s.ask(name, args)
	if err != nil {
		s.t.Fatalf("%s %v: %v", name, args, err)
	}
	return got.(map[string]int)["rev"]
}

func (s *seat) set(key, text string, live bool) int {
	s.t.Helper()
	return s.change("act", act{Edits: []Edit{{Key: key, Text: text}}, Live: live})
}

func (s *seat) field(key string) string {
	fields, _ := s.last["state"]["fields"].(map[string]any)
	f, _ := fields[key].(map[string]any)
	text, _ := f["text"].(string)
	return text
}

func TestTheExampleIsPlannedAsOnTheCommandLine(t *testing.T) {
	s := sit(t)
	s.done(1)
	p, files := project.Example()
	made, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.ask("result", map[string]string{"name": "plan.json"})
	if err != nil {
		t.Fatal(err)
	}
	if want := mustJSON(t, made); !bytes.Equal(got.(File).Data, want) {
		t.Error("plan.json differs from that of strew plan")
	}
	if n := len(s.last["marks"]["marks"].([]any)); n != len(made.Strewn.Layout.Placements) {
		t.Errorf("%d marks told, %d planned", n, len(made.Strewn.Layout.Placements))
	}
	if s.last["lay"]["working"] != false || len(s.last["lay"]["order"].([]any)) != len(made.Laid.Lay.Needs) {
		t.Errorf("the lay told is %v", s.last["lay"]["order"])
	}
}

// Whatever decides how many cutouts there are, and in every pattern, what the page
// shows in the end is what strew plan plans.
func TestEveryWayToAskIsPlannedAsOnTheCommandLine(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds, many times as long with the race detector")
	}
	s := sit(t)
	for _, c := range []struct{ pattern, key, text string }{
		{"grid", "spacing", "12.5 cm"}, {"grid", "cutouts", "50"}, {"grid", "sheets", "4"}, {"grid", "budget", "5"},
		{"hemband", "sheets", "4"}, {"polka", "cutouts", "50"}, {"polka", "budget", "5"},
	} {
		edits := []Edit{{Key: "scatter.pattern", Text: c.pattern}, {Key: "scatter.spacing"}, {Key: "scatter.cutouts"}, {Key: "scatter.sheets"}, {Key: "scatter.budget"}, {Key: "scatter." + c.key, Text: c.text}}
		s.done(s.change("act", act{Edits: edits}))
		p, err := s.history.present.project()
		if err != nil {
			t.Fatal(err)
		}
		made, err := stage.NewPlanner(s.history.present.files()).Plan(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if told, want := len(s.last["marks"]["marks"].([]any)), len(made.Strewn.Layout.Placements); told != want {
			t.Errorf("%v: %d marks told, %d planned", c, told, want)
		}
		told, err := json.Marshal(s.last["lay"]["order"])
		want, err2 := json.Marshal(needs(p, made.Laid.Lay.Needs))
		if err != nil || err2 != nil || !sameJSON(told, want) {
			t.Errorf("%v: order %s told, %s planned (%v, %v)", c, told, want, err, err2)
		}
	}
}

func mustJSON(t *testing.T, p stage.Plan) []byte {
	data, err := results.Of(p).PlanJSON(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestMarksComeBeforeFelt(t *testing.T) {
	s := sit(t)
	s.until("marked", func() bool { return s.rev("marks") == 1 })
	if s.last["lay"] != nil {
		t.Error("felt was told before the marks")
	}
	s.until("laid", func() bool { return s.rev("lay") == 1 })
	if s.last["lay"]["working"] != true {
		t.Error("the quick lay is told as the last")
	}
	s.done(1)
}

func TestASlideIsOneStep(t *testing.T) {
	s := sit(t)
	for _, text := range []string{"10.5 cm", "10 cm", "9.5 cm"} {
		s.set("scatter.spacing", text, true)
	}
	s.done(s.set("scatter.spacing", "9 cm", false))
	if got := s.field("scatter.spacing"); got != "9 cm" {
		t.Errorf("spacing is %q", got)
	}
	s.done(s.change("undo", nil))
	if got := s.field("scatter.spacing"); got != "11 cm" {
		t.Errorf("after one undo the spacing is %q", got)
	}
	if s.last["state"]["undo"] != "" || s.last["state"]["redo"] == "" {
		t.Errorf("undo %q, redo %q", s.last["state"]["undo"], s.last["state"]["redo"])
	}
}

// A slide whose end was never said is a step of its own once another control is
// changed.
func TestASlideCutShortIsAStep(t *testing.T) {
	s := sit(t)
	s.set("scatter.spacing", "9 cm", true)
	s.set("skirt.waist", "70 cm", false)
	s.change("undo", nil)
	rev := s.change("undo", nil)
	s.until("back", func() bool { return s.rev("state") == rev })
	if a, b := s.field("scatter.spacing"), s.field("skirt.waist"); a != "11 cm" || b != "68 cm" {
		t.Errorf("after two undos: %s, %s", a, b)
	}
}

func TestARefusedValueStaysAndSoDoThePictures(t *testing.T) {
	s := sit(t)
	s.done(1)
	for _, c := range []struct{ key, text string }{
		{"scatter.spacing", "soon"},     // no length
		{"skirt.waist", "9 m"},          // out of range
		{"motif.0.width", "80 cm"},      // does not fit on the skirt
		{"motif.0.outline", "gone.svg"}, // is not there
		{"sheet.0.width", "2 cm"},       // holds nothing
	} {
		rev := s.set(c.key, c.text, false)
		s.until("refused", func() bool { return s.rev("refused") == rev && s.last["refused"]["text"] != nil })
		if got := s.last["refused"]["key"]; got != c.key && c.key != "sheet.0.width" {
			t.Errorf("%s = %s is blamed on %v: %v", c.key, c.text, got, s.last["refused"]["text"])
		}
		if got := s.field(c.key); got != c.text {
			t.Errorf("%s is shown as %q, typed %q", c.key, got, c.text)
		}
		if s.last["marks"] == nil {
			t.Error("the last marks are gone")
		}
		if _, err := s.ask("result", map[string]string{"name": "placement.pdf"}); !errors.As(err, new(Refused)) {
			t.Errorf("%s = %s is printed all the same: %v", c.key, c.text, err)
		}
		if _, err := s.ask("list", nil); err != nil {
			t.Errorf("the last list is gone: %v", err)
		}
		s.done(s.change("undo", nil))
		if s.last["refused"]["text"] != nil {
			t.Errorf("still refused after undo: %v", s.last["refused"])
		}
	}
}

// From any series of changes, undo leads back to the very first text, and redo to the
// last.
func TestUndoLeadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := New(context.Background())
		defer d.Close()
		first := string(d.Snapshot().Text)
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			name := rapid.SampledFrom([]string{"act", "act", "act", "act", "undo", "redo", "keep", "back", "example", "begin", "add", "remove", "unit"}).Draw(t, "change")
			args := act{Live: rapid.Bool().Draw(t, "live")}
			switch name {
			case "act":
				args.Edits = []Edit{{
					Key:  rapid.SampledFrom([]string{"scatter.spacing", "skirt.waist", "motif.0.name", "lining.fullness", "seed", "skirt.colour"}).Draw(t, "key"),
					Text: rapid.SampledFrom([]string{"", "3", "9 cm", "#112233", "oak", "1 1/2 in"}).Draw(t, "text"),
				}}
			case "add":
				name, args.Edits = "act", []Edit{{Add: rapid.SampledFrom([]string{"bare", "sheet", "lining", "backing"}).Draw(t, "table")}}
			case "remove":
				name, args.Edits = "act", []Edit{{Remove: rapid.SampledFrom([]string{"motif.0", "sheet.0", "bare.0", "lining"}).Draw(t, "table")}}
			case "unit":
				name, args.Edits = "act", []Edit{{Key: "unit", Text: rapid.SampledFrom([]string{"in", "mm", "cm"}).Draw(t, "unit")}}
			}
			raw, _ := json.Marshal(struct {
				act
				Name string
				ID   int
			}{args, "kept", 1})
			if _, err := d.Call(context.Background(), name, raw); err != nil && !errors.As(err, new(Refused)) {
				t.Fatalf("%s: %v", name, err)
			}
		}
		last := string(d.Snapshot().Text)
		walk := func(name string) {
			for range 20 {
				if _, err := d.Call(context.Background(), name, nil); err != nil {
					t.Fatal(err)
				}
			}
		}
		walk("undo")
		if got := string(d.Snapshot().Text); got != first {
			t.Fatalf("undo leads to\n%s", got)
		}
		walk("redo")
		if got := string(d.Snapshot().Text); got != last && !strings.Contains(last, "kept") {
			t.Logf("redo leads elsewhere, since the last change was an undo")
		}
	})
}

// faulty is a folder that makes the program fail.
type faulty struct{}

func (faulty) Open(string) (fs.File, error) { panic("torn") }

// A mistake in the program costs one plan, and no work.
func TestAMistakeIsSurvived(t *testing.T) {
	s := sit(t)
	s.set("title", "Kelp", false)
	text, _ := project.ExampleFiles()
	if err := s.Open(Project{Text: text, Files: faulty{}, Place: "x.toml"}); err != nil {
		t.Fatal(err)
	}
	s.until("refused", func() bool { why, _ := s.last["refused"]["text"].(string); return strings.Contains(why, "torn") })
	s.done(s.change("undo", nil))
	if got := s.field("title"); got != "Kelp" {
		t.Errorf("the title is %q", got)
	}
}

func TestTryChangesNothing(t *testing.T) {
	s := sit(t)
	s.done(1)
	before := s.Snapshot()
	got, err := s.ask("try", map[string]any{"edits": []Edit{{Key: "scatter.spacing", Text: "14 cm"}}, "lay": true})
	if err != nil {
		t.Fatal(err)
	}
	try := got.(tried)
	if len(try.Marks.Marks) >= len(s.last["marks"]["marks"].([]any)) || len(try.Order) == 0 {
		t.Errorf("at 14 cm: %d marks, order %v", len(try.Marks.Marks), try.Order)
	}
	if after := s.Snapshot(); after.Rev != before.Rev || !bytes.Equal(after.Text, before.Text) {
		t.Error("trying changed the project")
	}
	got, err = s.ask("try", map[string]any{"edits": []Edit{{Key: "scatter.spacing", Text: "never"}}})
	if try, is := got.(tried); err != nil || !is || try.Refused == nil || try.Refused.Key != "scatter.spacing" {
		t.Errorf("a wrong spacing gives %v, %v", got, err)
	}
}

// What a try says of a choice is what the choice comes to: 12 cm apart, a quick lay
// takes a sheet more than the one that stands in the end.
func TestATryIsWhatComes(t *testing.T) {
	s := sit(t)
	for _, edits := range [][]Edit{
		{{Key: "scatter.spacing", Text: "12 cm"}},
		{{Key: "scatter.spacing"}, {Key: "scatter.sheets", Text: "4"}},
	} {
		got, err := s.ask("try", tryArgs{edits, true})
		if err != nil {
			t.Fatal(err)
		}
		s.done(s.change("act", act{Edits: edits}))
		said := got.(tried)
		if n := len(s.last["marks"]["marks"].([]any)); n != len(said.Marks.Marks) {
			t.Errorf("%v: %d marks said, %d came", edits, len(said.Marks.Marks), n)
		}
		order, err := json.Marshal(said.Order)
		came, err2 := json.Marshal(s.last["lay"]["order"])
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if !sameJSON(order, came) {
			t.Errorf("%v: said %s, came %s", edits, order, came)
		}
	}
}

// sameJSON reports whether two texts hold the same values.
func sameJSON(a, b []byte) bool {
	var v, w any
	return json.Unmarshal(a, &v) == nil && json.Unmarshal(b, &w) == nil && reflect.DeepEqual(v, w)
}

// A quick lay wastes some felt: where it is not enough for that, it may yet be enough.
func TestFeltThatIsJustEnough(t *testing.T) {
	s := sit(t)
	rev := s.change("act", act{Edits: []Edit{{Key: "scatter.spacing"}, {Key: "scatter.cutouts", Text: "100"}, {Key: "sheet.0.buy", Text: "false"}, {Key: "sheet.0.stock", Text: "3"}}})
	s.done(rev)
	if s.last["refused"]["text"] != nil {
		t.Errorf("refused: %v", s.last["refused"]["text"])
	}
}

func TestEnoughTakesTheBestSoFar(t *testing.T) {
	s := sit(t)
	rev := s.set("cutting.effort", "10", false)
	s.until("looking", func() bool { return s.rev("lay") == rev && s.last["lay"]["working"] == true })
	began := time.Now()
	for s.rev("sum") < rev {
		if _, err := s.ask("enough", nil); err != nil { // the search may not have begun at the first
			t.Fatal(err)
		}
		select {
		case m := <-s.parts:
			var v map[string]any
			if err := json.Unmarshal(m.Data, &v); err != nil {
				t.Fatal(err)
			}
			s.last[m.Part] = v
		case <-time.After(10 * time.Millisecond):
		}
		if time.Since(began) > patience {
			t.Fatal("the search goes on")
		}
	}
}

// While colours are laid one after the other, the order told never lacks one.
func TestOrderIsWholeWhileLookingOn(t *testing.T) {
	was := []sheet.Need{{Colour: "gold", Sheets: 5}, {Colour: "tan", Sheets: 2}, {Stock: 1, Colour: "tan", Sheets: 1}, {Colour: "red", Length: 900}}
	for _, c := range []struct{ found, want []sheet.Need }{
		{nil, was},
		{[]sheet.Need{{Colour: "tan", Sheets: 2}}, []sheet.Need{was[0], was[3], {Colour: "tan", Sheets: 2}}},
		{[]sheet.Need{{Colour: "gold", Sheets: 6}}, was},
		{[]sheet.Need{{Colour: "red", Length: 700}}, []sheet.Need{was[0], was[1], was[2], {Colour: "red", Length: 700}}},
	} {
		if got := better(was, c.found); !slices.Equal(got, c.want) {
			t.Errorf("%v found: %v, want %v", c.found, got, c.want)
		}
	}
}

func TestSavingAndOpening(t *testing.T) {
	s := sit(t)
	if snap := s.Snapshot(); !snap.Example || snap.Unsaved {
		t.Errorf("the untouched example: %+v", snap)
	}
	s.set("title", "Tide line", false)
	snap := s.Snapshot()
	if snap.Example || !snap.Unsaved {
		t.Error("a changed example is not told as unsaved")
	}
	rev := s.change("begin", act{Edits: []Edit{{Key: "skirt.waist", Text: "71 cm"}}})
	s.until("begun", func() bool { return s.rev("state") == rev })
	if s.last["state"]["kind"] != "new" || s.field("skirt.waist") != "71 cm" {
		t.Errorf("begun: %v", s.last["state"]["kind"])
	}
	snap = s.Snapshot()
	s.Saved(snap.Rev, Project{Text: snap.Text, Files: snap.Files, Place: "skirts/mine.toml"})
	if got := s.Snapshot(); got.Unsaved || got.Place != "skirts/mine.toml" {
		t.Errorf("after saving: %+v", got)
	}
	s.ChangedOutside(true)
	s.until("told", func() bool { return s.last["state"]["changed"] == true })
	s.set("skirt.waist", "72 cm", false)
	if !s.Snapshot().Unsaved {
		t.Error("a change after saving is not told as unsaved")
	}
	s.change("undo", nil)
	if s.Snapshot().Unsaved {
		t.Error("undone to what was saved, and told as unsaved")
	}
	if err := s.Open(Project{Text: []byte("title = "), Place: "x.toml"}); !errors.As(err, new(Refused)) {
		t.Errorf("no TOML: %v", err)
	}
	if err := s.Open(Project{Text: []byte("title = \"Kelp\"\n"), Place: "kelp.toml"}); err != nil {
		t.Fatal(err)
	}
	if got := s.Snapshot(); got.Place != "kelp.toml" || got.Unsaved {
		t.Errorf("opened: %+v", got)
	}
	s.change("undo", nil)
	if got := s.Snapshot(); got.Place != "skirts/mine.toml" {
		t.Errorf("undo of opening leads to %q", got.Place)
	}
}

// A project opened at the start is the first there is.
func TestOpenedFirstIsTheBeginning(t *testing.T) {
	s := sit(t)
	if err := s.Open(Project{Text: []byte("title = \"Kelp\"\n"), Place: "kelp.toml"}); err != nil {
		t.Fatal(err)
	}
	s.change("undo", nil)
	if got := s.Snapshot(); got.Place != "kelp.toml" {
		t.Errorf("undo leads to %q", got.Place)
	}
}

func TestDrawingsAddedAreUsedAndPacked(t *testing.T) {
	s := sit(t)
	square := []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30"><rect width="30" height="30" fill="#884422"/></svg>`)
	got, err := s.ask("drawing", newDrawing{"pier.svg", square})
	if err != nil {
		t.Fatal(err)
	}
	name := got.(map[string]string)["name"]
	s.done(s.change("act", act{Edits: []Edit{{Add: "motif", Values: map[string]string{"name": "pier", "outline": name}}}}))
	if n := len(s.last["marks"]["motifs"].([]any)); n != 3 {
		t.Errorf("%d motifs", n)
	}
	again, err := s.ask("drawing", newDrawing{"pier.svg", append(square, '\n')})
	if err != nil || again.(map[string]string)["name"] == name {
		t.Errorf("another drawing of the same name is called %v, %v", again, err)
	}
	packed, err := s.ask("project", nil)
	if err != nil {
		t.Fatal(err)
	}
	files := unpacked(t, packed.(File).Data)
	if !bytes.Equal(files[name], square) || len(files) != 4 {
		t.Errorf("packed: %d files", len(files))
	}
	made, err := engine.Plan(context.Background(), files, projectFile, nil)
	if err != nil {
		t.Fatal(err)
	}
	want, err := s.ask("result", map[string]string{"name": results.PlanFile})
	if err != nil || !bytes.Equal(made[0].Data, want.(File).Data) {
		t.Errorf("the packed project plans otherwise: %v", err)
	}
	for _, bad := range []newDrawing{{"photo.heic", square}, {"list.pdf", square}, {"empty.svg", nil}} {
		if _, err := s.ask("drawing", bad); !errors.As(err, new(Refused)) {
			t.Errorf("%s: %v", bad.Name, err)
		}
	}
}

func unpacked(t *testing.T, data []byte) engine.Files {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := engine.Files{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		out[f.Name] = b.Bytes()
	}
	return out
}

func TestEveryViewIsAnswered(t *testing.T) {
	s := sit(t)
	s.done(1)
	for _, name := range []string{"schema", "folds", "cloth", "pages", "list", "everything", "project"} {
		got, err := s.ask(name, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := json.Marshal(got); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	page, err := s.ask("pageof", pageArgs{"placement.pdf", 1})
	if err != nil || !bytes.HasPrefix(page.(File).Data, []byte("<svg")) {
		t.Errorf("pageof: %v", err)
	}
	a, _ := s.ask("everything", nil)
	b, _ := s.ask("everything", nil)
	if !bytes.Equal(a.(File).Data, b.(File).Data) {
		t.Error("the same plan is packed to other bytes")
	}
	var names []string
	for name := range unpacked(t, a.(File).Data) {
		names = append(names, name)
	}
	if !slices.Contains(names, "plan.json") || !slices.Contains(names, "placement.pdf") {
		t.Errorf("packed: %v", names)
	}
	if _, err := s.Call(context.Background(), "nonsense", nil); !errors.Is(err, ErrNoCall) {
		t.Errorf("an unknown call: %v", err)
	}
}

// Where the felt decides how many cutouts there are, the last marks told are those of
// the last lay: a better lay may hold more cutouts than the quick one.
func TestMarksAreThoseOfTheLastLay(t *testing.T) {
	s := sit(t)
	more := 0
	for _, sheets := range []string{"3", "4", "6"} {
		rev := s.change("act", act{Edits: []Edit{{Key: "scatter.spacing", Text: ""}, {Key: "scatter.sheets", Text: sheets}}})
		quick := 0
		s.until("quick", func() bool {
			if s.rev("marks") == rev && quick == 0 {
				quick = len(s.last["marks"]["marks"].([]any))
			}
			return s.rev("sum") >= rev
		})
		got, err := s.ask("result", map[string]string{"name": "plan.json"})
		if err != nil {
			t.Fatal(err)
		}
		var plan struct{ Placements []any }
		if err := json.Unmarshal(got.(File).Data, &plan); err != nil {
			t.Fatal(err)
		}
		if n := len(s.last["marks"]["marks"].([]any)); n != len(plan.Placements) || n == 0 {
			t.Errorf("%s sheets: %d marks told, %d planned", sheets, n, len(plan.Placements))
		}
		more += len(plan.Placements) - quick
	}
	if more <= 0 {
		t.Error("the better lays held no more cutouts than the quick ones: the test shows nothing")
	}
}
