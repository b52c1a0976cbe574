package intake

import (
	"strings"

	"quoin/impose/job"
	"quoin/impose/night"
)

// spellings writes each order's material as it is written elsewhere: Film and
// FILM are one stock, and would otherwise be two set-ups and suit no die. The
// house's spelling comes first, then the die library's, the press file's and
// that of the first order.
type spellings map[string]string

func newSpellings(r *night.Rules) spellings {
	s := spellings{}
	s.of(r.House.Material.Kind)
	if r.House.Dies != nil {
		for _, d := range r.House.Dies.Dies {
			for _, m := range d.Materials {
				s.of(m)
			}
		}
	}
	if r.House.Press != nil {
		for _, rule := range r.House.Press.Finishing.Stripping {
			s.of(rule.Material)
		}
	}
	return s
}

func (s spellings) of(material string) string {
	key := strings.ToLower(strings.Join(strings.Fields(material), " "))
	if _, ok := s[key]; !ok {
		s[key] = material
	}
	return s[key]
}

// respelt returns the order itself, or a copy when its material is spelt
// otherwise.
func (s spellings) respelt(o *job.Order) *job.Order {
	if m := s.of(o.Material); m != o.Material {
		other := *o
		other.Material = m
		return &other
	}
	return o
}
