package impose

import (
	"fmt"
	"strings"
)

// rows prints the production for a person.
func (p *ProductionPart) rows(row func(name, text string, args ...any)) {
	material := fmt.Sprintf("%.1f m2 of web", p.MaterialM2)
	if p.MasterRolls > 0 {
		material += ", " + plural(int(p.MasterRolls), "master roll")
		if !p.Splices {
			material += " without splices in the finished rolls"
		}
	}
	row("Material", "%s", material)
	if p.RollChanges > 0 || p.ChangeMin > 0 || p.SavedMin > 0 {
		row("Unwinder", "%s", p.unwinder())
	}
	if p.FinishMin > 0 {
		row("Finishing", "%.1f min at %s m/min; the slower step is %s", p.FinishMin, digits(p.FinishSpeed), p.SlowestStep)
	}
	if len(p.Consumables) > 0 {
		parts := make([]string, len(p.Consumables))
		for i, c := range p.Consumables {
			parts[i] = fmt.Sprintf("%s %.2f %%", c.Name, c.SharePercent)
		}
		row("Wear", "%s of their life", strings.Join(parts, ", "))
	}
	if c := p.Cost; c != nil {
		row("Cost", "%.2f %s: material %.2f, press %.2f, finishing %.2f, set-up %.2f, wear %.2f; %.2f a thousand labels",
			c.Total, c.Currency, c.Material, c.Press, c.Finishing, c.Setup, c.Consumables, c.PerThousand)
	}
}

func (p *ProductionPart) unwinder() string {
	changes := plural(int(p.RollChanges), "roll change")
	if p.NonStop {
		return fmt.Sprintf("%s without a stop, saving %.1f min", changes, p.SavedMin)
	}
	return fmt.Sprintf("%s, the web stands %.1f min", changes, p.ChangeMin)
}
