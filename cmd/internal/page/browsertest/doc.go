// Package browsertest plays makers at the page in a real browser. It has tests
// only: each starts the program as a maker would, opens its page in Chromium,
// and types, presses and looks.
//
// Without Chromium the tests skip; with STREW_REQUIRE=all they fail. Variables:
//
//	STREW_SHOTS    folder for the screenshots; a temporary one without it
//	STREW_AXE      axe.min.js of axe-core, for the accessibility tests
//	STREW_MONKEY   how long the monkey plays ("30m"); 20 seconds without it
//	STREW_SEED     the monkey's seed; 1 without it
//	STREW_PROGRAM  a strew built beforehand; built from this tree without it
package browsertest
