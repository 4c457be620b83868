package main

import "os"

// A program can be started by a person at a prompt, by another program, or by a
// double click. "strew" alone prints help in the first two cases, and opens the page
// in the third. Which it is stands nowhere; what can be seen is this:
//
//   - At a prompt one of the three standard streams is a terminal, also when the
//     others are redirected.
//   - A program that starts strew to read what it prints gives it a pipe or a file to
//     print to; or a pipe or a file as input.
//   - A file manager on Linux gives no input (the null device), and the session's log
//     as output, which nobody reads: the same for standard output and error, or the
//     null device. A desktop is there. Bundles on macOS likewise.
//   - A double click on Windows opens a console with strew alone in it, or none;
//     see alone_windows.go. On macOS it opens a terminal, which looks like a prompt:
//     the launcher that is shipped calls "strew page".
type streams struct {
	terminal bool // one of the three is a terminal
	input    bool // there is something to read
	read     bool // somebody reads what is printed: by a pipe, or in a file apart from the errors
	desktop  bool // there is one to open a browser on
}

// alone reports whether nobody would see help.
func (s streams) alone() bool { return !s.terminal && !s.input && !s.read && s.desktop }

// streamsOf looks at the standard streams.
func streamsOf(in, out, errs *os.File, isTerminal func(*os.File) bool, desktop bool) streams {
	s := streams{desktop: desktop, terminal: isTerminal(in) || isTerminal(out) || isTerminal(errs)}
	if info, err := in.Stat(); err == nil {
		s.input = info.Mode()&os.ModeCharDevice == 0
	}
	if info, err := out.Stat(); err == nil {
		log, err := errs.Stat()
		one := err == nil && os.SameFile(info, log)
		s.read = info.Mode()&os.ModeNamedPipe != 0 || info.Mode().IsRegular() && !one
	}
	return s
}
