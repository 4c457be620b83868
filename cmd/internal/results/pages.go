package results

import (
	"bytes"
	"context"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/svg"
)

// PageFile is a file to print.
type PageFile struct {
	Name  string     // of the result, as "placement.pdf"
	Title string     // what is printed as the document's title
	Sizes []geom.Vec // width and height of each page, millimetres
}

// Pages lists the files to print with their pages. It draws the paper, which is
// kept, but writes none. The error is the context's.
func (r *Results) Pages(ctx context.Context) ([]PageFile, error) {
	var out []PageFile
	for _, f := range r.paper(ctx) {
		p := PageFile{Name: f.name, Title: f.title}
		for _, sc := range f.pages {
			p.Sizes = append(p.Sizes, geom.Vec{X: sc.Width, Y: sc.Height})
		}
		out = append(out, p)
	}
	return out, ctx.Err()
}

// PageSVG writes one page of a file to print as an SVG, page counted from 1: the
// same drawing as in the PDF, its letters as outlines. The error is the
// context's, or says that there is no such page.
func (r *Results) PageSVG(ctx context.Context, file string, page int) ([]byte, error) {
	for _, f := range r.paper(ctx) {
		if f.name != file || page < 1 || page > len(f.pages) {
			continue
		}
		sc := f.pages[page-1]
		var b bytes.Buffer
		err := svg.Write(ctx, &b, f.title, geom.Vec{X: sc.Width, Y: sc.Height}, []svg.Layer{{ID: "page", Name: f.title, Ops: sc.Ops}})
		return b.Bytes(), err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return nil, say.Errorf("%s has no page %d", file, page)
}
