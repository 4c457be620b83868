package motif

import (
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf16"

	"strew/motif/say"
)

// Limits on what a drawing may hold: far above what a hand or a drawing program
// makes of one cutout, and low enough that a broken or hostile file does not fill
// the memory.
const (
	maxBytes    = 64 << 20 // of the file, uncompressed
	maxElements = 200_000  // counted once per use
	maxDepth    = 256      // of nested elements
	maxPoints   = 250_000  // of all outlines, once curves are flattened
	maxEntity   = 1 << 16  // bytes one entity may expand to
)

const (
	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
)

// element is one element of the drawing.
type element struct {
	name     string // without prefix; "" for one of another vocabulary
	attr     map[string]string
	text     string // the content of a style element
	line     int
	parent   *element
	children []*element
}

// label returns what messages call the element: its name and its id or line.
func (e *element) label() say.Message {
	if id := e.attr["id"]; id != "" {
		return say.New("<%s id=%q>", e.name, id)
	}
	return say.New("<%s> in line %d", e.name, e.line)
}

// parseXML reads a drawing, gzipped or not, into its element tree.
func parseXML(data []byte) (*element, error) {
	text, err := decodeText(data)
	if err != nil {
		return nil, err
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = charsetReader
	d.Entity = map[string]string{}
	var root, at *element
	depth, count := 0, 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, brokenXML(err, root != nil)
		}
		switch t := tok.(type) {
		case xml.Directive:
			if err := readEntities(string(t), d.Entity); err != nil {
				return nil, err
			}
		case xml.StartElement:
			if depth++; depth > maxDepth {
				return nil, say.Errorf("the drawing nests groups more than %d deep: ungroup them and save it again", maxDepth)
			}
			if count++; count > maxElements {
				return nil, tooMany()
			}
			line, _ := d.InputPos()
			e := newElement(t, line)
			if root == nil {
				root = e
			} else if at != nil {
				e.parent = at
				at.children = append(at.children, e)
			}
			at = e
		case xml.EndElement:
			depth--
			at = at.parent
		case xml.CharData:
			if at != nil && at.name == "style" {
				at.text += string(t)
			}
		}
	}
	switch {
	case root == nil:
		return nil, say.Errorf("the file holds no drawing: save it as plain SVG")
	case root.name != "svg":
		return nil, say.Errorf("the file is XML but not an SVG drawing: save it as plain SVG")
	}
	return root, nil
}

func tooMany() error {
	return say.Errorf("the drawing holds more than %d elements: simplify it and save it again", maxElements)
}

func newElement(t xml.StartElement, line int) *element {
	e := &element{line: line, attr: make(map[string]string, len(t.Attr))}
	if t.Name.Space == svgSpace || t.Name.Space == "" || t.Name.Space == "svg" {
		e.name = t.Name.Local
	}
	for _, a := range t.Attr {
		switch a.Name.Space {
		case "":
			e.attr[a.Name.Local] = a.Value
		case xlinkSpace, "xlink":
			if _, plain := e.attr[a.Name.Local]; !plain && a.Name.Local == "href" {
				e.attr["href"] = a.Value
			}
		}
	}
	return e
}

func brokenXML(err error, begun bool) error {
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		if !begun {
			return say.Errorf("the file is not an SVG drawing: save it as plain SVG")
		}
		if syntax.Msg == "unexpected EOF" {
			return say.Errorf("line %d: the drawing breaks off there; save it again as plain SVG", syntax.Line)
		}
		return say.Errorf("line %d: the drawing is damaged there (%s); save it again as plain SVG", syntax.Line, strings.ToLower(syntax.Msg))
	}
	return say.Errorf("the drawing is damaged (%s); save it again as plain SVG in UTF-8", strings.TrimPrefix(err.Error(), "xml: "))
}

// decodeText decompresses gzip and returns UTF-16 as UTF-8, without a byte order
// mark.
func decodeText(data []byte) ([]byte, error) {
	if bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err != nil {
			return nil, say.Errorf("the compressed drawing (svgz) is damaged: save it again, as plain SVG")
		}
		data, err = io.ReadAll(io.LimitReader(z, maxBytes+1))
		if err != nil {
			return nil, say.Errorf("the compressed drawing (svgz) is damaged: save it again, as plain SVG")
		}
	}
	if len(data) > maxBytes {
		return nil, say.Errorf("the drawing is larger than %d MB: simplify it and save it again", maxBytes>>20)
	}
	switch {
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}), bytes.HasPrefix(data, []byte{0, '<'}):
		data = fromUTF16(data, func(b []byte) uint16 { return uint16(b[0])<<8 | uint16(b[1]) })
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{'<', 0}):
		data = fromUTF16(data, func(b []byte) uint16 { return uint16(b[1])<<8 | uint16(b[0]) })
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if data = bytes.TrimLeft(data, " \t\r\n"); len(data) == 0 {
		return nil, say.Errorf("the file is empty: save the drawing again")
	}
	return data, nil
}

func fromUTF16(data []byte, at func([]byte) uint16) []byte {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = at(data[2*i:])
	}
	return []byte(string(utf16.Decode(units)))
}

// charsetReader decodes the encodings that drawing programs declare. UTF-16 is
// decoded already.
func charsetReader(charset string, in io.Reader) (io.Reader, error) {
	switch strings.ToLower(charset) {
	case "utf-8", "utf8", "utf-16", "utf-16le", "utf-16be", "us-ascii", "ascii":
		return in, nil
	case "iso-8859-1", "latin1", "iso8859-1", "iso-8859-15", "windows-1252":
		// Only names and text can differ between these; shapes are plain ASCII.
		b, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		runes := make([]rune, len(b))
		for i, c := range b {
			runes[i] = rune(c)
		}
		return strings.NewReader(string(runes)), nil
	}
	return nil, say.Errorf("the text encoding %q is not known: save it as UTF-8", charset)
}

var (
	entityDecl = regexp.MustCompile(`<!ENTITY\s+([\w:.-]+)\s+(?:"([^"]*)"|'([^']*)')\s*>`)
	entityRef  = regexp.MustCompile(`&([\w:.-]+);`)
)

// readEntities adds to known the entities declared inside a DOCTYPE, each expanded
// by those before it. External ones are never followed.
func readEntities(directive string, known map[string]string) error {
	if !strings.HasPrefix(directive, "DOCTYPE") {
		return nil
	}
	for _, m := range entityDecl.FindAllStringSubmatch(directive, -1) {
		value, grown := m[2]+m[3], 0
		value = entityRef.ReplaceAllStringFunc(value, func(ref string) string {
			with, ok := known[ref[1:len(ref)-1]]
			if grown += len(with); !ok || grown > maxEntity {
				return ref
			}
			return with
		})
		if len(value) > maxEntity || grown > maxEntity {
			return say.Errorf("the entity &%s; expands to more than %d bytes: save the drawing again as plain SVG", m[1], maxEntity)
		}
		if _, twice := known[m[1]]; !twice {
			known[m[1]] = value
		}
	}
	return nil
}
