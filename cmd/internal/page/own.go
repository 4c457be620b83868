package page

import (
	"context"
	"path/filepath"
)

// calls are the calls that the server answers itself.
func (s *server) calls() map[string]own {
	type none struct{}
	type at struct {
		Path string `json:"path"`
	}
	type named struct {
		ID string `json:"id"`
	}
	type sent struct {
		Data []byte `json:"data"` // base64
	}
	return map[string]own{
		"folders": with(func(_ context.Context, a at) (any, error) { return s.shelf.folders(a.Path) }),
		"open": with(func(ctx context.Context, a at) (any, error) {
			path, err := s.openHere(ctx, a.Path)
			return at{path}, err
		}),
		"openzip": with(func(_ context.Context, a sent) (any, error) { return nil, s.shelf.openZip(a.Data) }),
		"save": with(func(_ context.Context, a target) (any, error) {
			path, err := s.shelf.save(a)
			return at{path}, err
		}),
		"saveall": with(func(ctx context.Context, a target) (any, error) { return s.shelf.saveAll(ctx, a) }),
		"recent": with(func(ctx context.Context, _ none) (any, error) {
			return struct {
				Recent  []recent `json:"recent"`
				Unsaved []left   `json:"unsaved"`
			}{s.shelf.notes.recents(), s.shelf.notes.leftBehind(ctx)}, nil
		}),
		"restore": with(func(ctx context.Context, a named) (any, error) { return nil, s.shelf.restore(ctx, a.ID) }),
		"forget": with(func(_ context.Context, a named) (any, error) {
			s.shelf.notes.forget(a.ID)
			return nil, nil
		}),
		"close": with(func(context.Context, none) (any, error) {
			s.end()
			return nil, nil
		}),
	}
}

// openHere opens what the page names, unless another run has it open.
func (s *server) openHere(ctx context.Context, path string) (string, error) {
	path, err := s.shelf.inside(path)
	if err != nil {
		return "", err
	}
	file, err := projectIn(path)
	if err != nil {
		return "", err
	}
	if s.shelf.notes.openElsewhere(ctx, file) != "" {
		return "", refused("%s is open in another window of strew; use that one, or close it first", filepath.Base(filepath.Dir(file)))
	}
	return s.shelf.open(file)
}
