package desk

import (
	"context"
	"path"
	"strings"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

// mostDrawing is the largest file of a drawing, as package stage has it.
const mostDrawing = 64 << 20

type newDrawing struct {
	Name string `json:"name"`
	Data []byte `json:"data"` // base64
}

// drawing adds the file of a drawing to the project. It is used once a motif or
// the skirt names it.
func (d *Desk) drawing(_ context.Context, a newDrawing) (answer, error) {
	print := say.Printer{}
	switch {
	case !project.IsDrawing(a.Name):
		return nil, Refused{print.Message(notADrawing(a.Name))}
	case len(a.Data) > mostDrawing:
		return nil, Refused{print.Say("%s is larger than 64 MB; save the picture smaller, 3000 pixels wide is plenty, or crop it to the drawing", a.Name)}
	case len(a.Data) == 0:
		return nil, Refused{print.Say("%s is empty; if it is a folder, choose a drawing in it", a.Name)}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	s, name := d.history.present.addDrawing(a.Name, a.Data)
	d.history.present = s
	return map[string]string{"name": name}, nil
}

// notADrawing says what to do with a file that no motif can be read from.
func notADrawing(name string) say.Message {
	switch ext := strings.ToLower(path.Ext(name)); ext {
	case ".pdf":
		return say.New("%s is a PDF, which strew does not read; save the drawing as SVG or PNG in the program that made it, or take a photo of the printed page", name)
	case ".heic", ".heif":
		return say.New("%s is an HEIC photo, which strew does not read; save or send it as JPEG", name)
	case ".toml", ".zip":
		return say.New("%s is a project, not a drawing; open it with Open", name)
	case "":
		return say.New("%s has no ending such as .svg or .png; if it is a folder, choose a drawing in it", name)
	}
	return say.New("%s is not a drawing that strew reads; use SVG, PNG, JPEG, TIFF or WebP", name)
}
