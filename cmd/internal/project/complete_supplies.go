package project

import "cmp"

func (c *completion) supplies() Supplies {
	s := c.one("supplies")
	out := Supplies{
		Fixing:         Fixing(get[string](s, "fixing")),
		Paper:          Paper(get[string](s, "paper")),
		Currency:       get[string](s, "currency"),
		FixingPrice:    price(s, "fixing_price"),
		PaperPrice:     price(s, "paper_price"),
		FeltWeight:     get[float64](s, "felt_weight"),
		NetWeight:      get[float64](s, "net_weight"),
		CuttingSpeed:   get[float64](s, "cutting_speed"),
		FixingTime:     get[float64](s, "fixing_time"),
		GluePerPiece:   get[float64](s, "glue_per_piece"),
		ThreadPerPiece: get[float64](s, "thread_per_piece"),
		ThreadReel:     get[float64](s, "thread_reel"),
	}
	if stick := get[[]float64](s, "glue_stick"); len(stick) == 2 {
		out.GlueStick = [2]float64{stick[0], stick[1]}
	}
	return out
}

// price returns the price in a key, nil where none is written.
func price(s section, key string) *float64 {
	if !s.ok(key) {
		return nil
	}
	v := get[float64](s, key)
	return &v
}

// fabricPrice reads what the cloth of a table costs by the length.
func fabricPrice(s section) ByLength {
	return ByLength{
		Price: get[float64](s, "fabric_price"),
		Per:   cmp.Or(get[float64](s, "fabric_price_per"), perMetre),
		Set:   s.ok("fabric_price"),
	}
}
