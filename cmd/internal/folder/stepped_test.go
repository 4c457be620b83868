package folder

import (
	"errors"
	"path/filepath"
)

// stepped is a disk whose steps are counted, and that ends the program, or
// fails, at one of them. Writing a file is two steps, so that half of it may be
// written.
type stepped struct {
	disk
	left  int          // steps before the last one
	end   func() error // what then happens: it may not return
	ended bool
	count int // of all steps
}

var errDead = errors.New("the program has ended")

func (s *stepped) step() error {
	s.count++
	if s.left--; s.left == -1 {
		s.ended = true
		return s.end()
	}
	return nil
}

func (s *stepped) Mkdir(name string) error {
	if err := s.step(); err != nil {
		return err
	}
	return s.disk.Mkdir(name)
}

func (s *stepped) MkdirTemp(dir, pattern string) (string, error) {
	if err := s.step(); err != nil {
		return "", err
	}
	return s.disk.MkdirTemp(dir, pattern)
}

func (s *stepped) WriteFile(name string, data []byte) error {
	if err := s.step(); err != nil {
		return err
	}
	half := len(data) / 2
	if s.left == 0 {
		if err := s.disk.WriteFile(name, data[:half]); err != nil {
			return err
		}
		return s.step()
	}
	s.step()
	return s.disk.WriteFile(name, data)
}

func (s *stepped) Rename(from, to string) error {
	if err := s.step(); err != nil {
		return err
	}
	return s.disk.Rename(from, to)
}

func (s *stepped) Remove(name string) error {
	if err := s.step(); err != nil {
		return err
	}
	return s.disk.Remove(name)
}

// on is the folder on another disk.
func (f Folder) on(d disk) Folder {
	f.disk = d
	return f
}

// litter lists what strew may not leave behind in a folder.
func litter(dir string) []string {
	found, _ := filepath.Glob(filepath.Join(dir, staging+"*"))
	return found
}
