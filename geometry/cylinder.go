package geometry

import "fmt"

// Cylinder is a printing or cutting cylinder: so many teeth of a gear.
type Cylinder struct {
	Teeth int
	Gear  Gear
}

// Repeat returns the length around.
func (c Cylinder) Repeat() Length { return c.Gear.Repeat(c.Teeth) }

// String returns "96 teeth of 3.175 mm CP".
func (c Cylinder) String() string { return fmt.Sprintf("%d teeth of %s", c.Teeth, c.Gear) }

// Check refuses a cylinder that can't be: no teeth, an impossible gear, or
// more around than LongestExtent.
func (c Cylinder) Check() error {
	if err := c.Gear.Check(); err != nil {
		return err
	}
	if most := c.Gear.TeethWithin(LongestExtent); c.Teeth < 1 || c.Teeth > most {
		return &hintError{fmt.Sprintf("a cylinder of %s is impossible", c),
			fmt.Sprintf("with this gear it has 1 to %d teeth", most)}
	}
	return nil
}
