package page

import (
	"context"
	"encoding/json"

	"strew/cmd/internal/desk"
)

// Desk is the open project as the server needs it. It is safe for concurrent use,
// and nothing but Call and Results may take long.
type Desk interface {
	// Call answers a call of the page: with a value to be written as JSON, or
	// with a desk.File. The error is a desk.Refused where the maker can do
	// something about it, and desk.ErrNoCall where there is no call of the
	// name.
	Call(ctx context.Context, name string, args json.RawMessage) (answer any, err error)
	// Watch returns a channel of the present value of every part, and then of
	// each change; one that is read slowly skips values that were replaced
	// meanwhile, and holds up nothing. It is closed once ctx has ended.
	Watch(ctx context.Context) <-chan desk.Message
	// Open puts a project in place of the present one. That may be undone, and then
	// Snapshot has the place of the earlier one again.
	// The error is a desk.Refused where its text cannot be read as TOML.
	Open(p desk.Project) error
	// Snapshot returns what there is to save.
	Snapshot() desk.Snapshot
	// Saved says that what a snapshot of that Rev held now stands on the disk as
	// the project at. The text of at may name copied drawings by other paths
	// than the snapshot's: that is no change to be undone.
	Saved(rev int64, at desk.Project)
	// ChangedOutside says whether another program has changed the project file
	// since it was opened or saved.
	ChangedOutside(changed bool)
	// Results returns every file of results of the present plan.
	Results(ctx context.Context) ([]desk.File, error)
}
