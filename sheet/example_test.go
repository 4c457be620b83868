package sheet_test

import (
	"context"
	"fmt"

	"strew/motif/geom"
	"strew/sheet"
)

func ExamplePack() {
	patch := geom.Region{Outer: geom.Ring{{X: 0, Y: 0}, {X: 98, Y: 0}, {X: 98, Y: 98}, {X: 0, Y: 98}}}
	items := []sheet.Item{{Name: "patch", Shape: patch, Colour: "#d9a521", Count: 8}}
	felt := []sheet.Stock{{Name: "craft felt A4", Width: 210, Height: 297, Price: 1.10, InDrawer: 1}}
	lay, err := sheet.Pack(context.Background(), items, felt, sheet.Options{Gap: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range lay.Needs {
		fmt.Printf("%s: %d sheets, at least %d; buy %d for %.2f\n", felt[n.Stock].Name, n.Sheets, n.AtLeast, n.Buy, n.Cost)
	}
	for _, p := range lay.Sheets[1].Pieces {
		fmt.Printf("%s at %.1f, %.1f\n", items[p.Item].Name, p.At.X, p.At.Y)
	}
	// Output:
	// craft felt A4: 2 sheets, at least 2; buy 1 for 1.10
	// patch at 0.0, 0.0
	// patch at 99.0, 0.0
}
