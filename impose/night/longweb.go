package night

import (
	"fmt"
	"math"

	"quoin/impose/say"
)

// longWeb is the web of one order, in km, from which on its quantity is more
// likely to be mistyped than meant: 100 km are fourteen hours of a press at
// 120 m/min. Common practice, no source.
const longWeb = 100

// web gives the net web of the order alone on all lanes, in km. A quantity may
// be too large for a length to hold.
func (o *order) web() float64 {
	l := o.forme.layout
	return math.Ceil(float64(o.Quantity)/float64(l.Labels())) * l.Repeat.Metres() / 1000
}

// long says of an order that takes more web than people order.
func (o *order) long() []Note {
	if o.web() < longWeb {
		return nil
	}
	return []Note{{o.ID, LongWeb, o.length() + " (check the quantity)"}}
}

// tooLarge says why an order can't be planned.
func (o *order) tooLarge() string {
	return o.length() + ", more than can be planned (check the quantity, or split the order into several)"
}

func (o *order) length() string {
	return fmt.Sprintf("%s labels are %s km of web on all lanes", say.Number(o.Quantity), say.Number(int64(math.Round(o.web()))))
}
