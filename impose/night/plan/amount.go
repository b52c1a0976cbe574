package plan

import (
	"math"
	"strconv"
)

// Amount writes money with the currency's decimals, as 1234.50; "" where there
// is none.
func (p *Plan) Amount(money *int64) string {
	if money == nil {
		return ""
	}
	decimals := int(math.Round(-math.Log10(p.MoneyUnit)))
	return strconv.FormatFloat(float64(*money)*p.MoneyUnit, 'f', decimals, 64)
}

// Smallest returns an amount in the currency's smallest unit, rounded.
func Smallest(amount float64, currency string) int64 {
	return int64(math.Round(amount * unit(currency)))
}

// Spent returns what a run costs of an item.
func (r *Run) Spent(item Item) *int64 {
	for _, part := range r.Parts {
		if part.Item == item {
			return &part.Money
		}
	}
	return new(int64)
}
