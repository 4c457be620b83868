package shown

import (
	"context"

	"strew/cmd/internal/results"
)

// Paper is a file to print.
type Paper struct {
	Name  string       `json:"name"`  // of the result
	Title string       `json:"title"` // what stands at its head
	Sizes [][2]float64 `json:"sizes"` // width and height of each page
}

// PagesOf lists the files to print. The error is the context's.
func PagesOf(ctx context.Context, r *results.Results) ([]Paper, error) {
	list, err := r.Pages(ctx)
	out := []Paper{}
	for _, f := range list {
		p := Paper{Name: f.Name, Title: f.Title}
		for _, s := range f.Sizes {
			p.Sizes = append(p.Sizes, pointOf(s))
		}
		out = append(out, p)
	}
	return out, err
}
