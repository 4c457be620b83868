package browsertest

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// heap is what the tab's JavaScript holds after garbage was collected, in
// megabytes.
func (w *window) heap() float64 {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, stepLimit)
	defer cancel()
	bytes, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (float64, error) {
		if _, err := cdp.Call(ctx, t, heapprofiler.CollectGarbage, cdp.Empty{}); err != nil {
			return 0, err
		}
		if _, err := cdp.Call(ctx, t, performance.Enable, performance.EnableParams{}); err != nil {
			return 0, err
		}
		got, err := cdp.Call(ctx, t, performance.GetMetrics, cdp.Empty{})
		if err != nil {
			return 0, err
		}
		for _, m := range got.Metrics {
			if m.Name == "JSHeapUsedSize" {
				return m.Value, nil
			}
		}
		return 0, nil
	})
	if err != nil {
		w.t.Fatal(err)
	}
	return bytes / (1 << 20)
}
