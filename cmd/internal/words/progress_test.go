package words

import (
	"testing"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

func TestProgressNamesTheBestOrder(t *testing.T) {
	cm := say.Printer{Unit: geom.Centimetre}
	for _, c := range []struct {
		e    stage.Event
		want string
	}{
		{stage.Event{Stage: stage.Drawing}, "reading the motifs"},
		{stage.Event{Stage: stage.Cutting}, "drafting the skirt"},
		{stage.Event{Stage: stage.Strewing}, "strewing the cutouts"},
		{stage.Event{Stage: stage.Measuring}, "measuring how evenly the cutouts lie"},
		{stage.Event{Stage: stage.Trying, Tried: 1}, "trying 1 cutout on the felt"},
		{stage.Event{Stage: stage.Trying, Tried: 30}, "trying 30 cutouts on the felt"},
		{stage.Event{Stage: stage.Laying}, "laying the felt"},
		{stage.Event{Stage: stage.Laying, Best: []sheet.Need{{Sheets: 3}, {Sheets: 1}}}, "laying the felt: 4 sheets so far"},
		{stage.Event{Stage: stage.Laying, Best: []sheet.Need{{Sheets: 1, Length: 250}}}, "laying the felt: 25 cm by the length so far"},
		{stage.Event{Stage: stage.Laying, Best: []sheet.Need{{Sheets: 1}, {Sheets: 1, Length: 250}}}, "laying the felt: 1 sheet and 25 cm by the length so far"},
	} {
		if got := Progress(cm, c.e); got != c.want {
			t.Errorf("%+v: got %q, want %q", c.e, got, c.want)
		}
	}
}
