package report

import (
	"fmt"

	"quoin/impose/night"
	"quoin/impose/say"
)

// Standing says how good a plan is while it is searched for.
func Standing(s night.Standing) string {
	text := fmt.Sprintf("%s so far", s.By.Text(s.Takes))
	if s.Groups > 0 && s.Proved == s.Groups {
		return text + ", proved best"
	}
	return text + fmt.Sprintf(", no plan takes less than %s: at most %s %% above the best", s.By.Text(s.Bound), say.Fixed(s.GapPercent, 2))
}
