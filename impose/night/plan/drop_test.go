package plan

import (
	"context"
	"strings"
	"testing"

	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// An order of several runs of which one fails is printed in part, and its note
// says where.
func TestPartsOfAFailedOrderAreNamed(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity\nA,24000\nB,18000\nC,12000\nD,9000\nE,6500\nF,700\n"), nighttest.Rules())
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if !s.Split {
				continue
			}
			at := runsOf(p, s.Order)
			failed := make([]error, len(p.Runs))
			failed[at[0]-1] = context.Canceled
			other := p.Runs[at[1]-1].Name
			p.Drop(failed)
			for _, n := range p.Unplanned {
				if n.Order == s.Order && strings.HasSuffix(n.Text, "; only a part of the order is printed, in "+other) {
					return
				}
			}
			t.Fatalf("%+v", p.Unplanned)
		}
	}
	t.Fatal("no order is split")
}

// Only a file without orders is said to list none.
func TestBadOrdersAreOrders(t *testing.T) {
	p := made(t, nil, nighttest.Rules())
	if nighttest.CodeOf(p.Notes, "") != night.NoOrders {
		t.Errorf("%q", p.Notes)
	}
	p.LeaveOut([]night.Note{night.NoteOn("4", night.BadOrder, "o.csv:5:2: quantity: is missing")})
	if nighttest.CodeOf(p.Notes, "") == night.NoOrders {
		t.Errorf("%q", p.Notes)
	}
}

// TestBuiltNightsKnowWhatOrdersCostAlone: what every order costs alone is told of a
// plan whose runs were written too, and of those that are printed.
func TestBuiltNightsKnowWhatOrdersCostAlone(t *testing.T) {
	lines, r := horizon(t, 4)
	p := made(t, horizonFile(t, lines), r)
	alone, late := *p.Alone.Money, len(p.Late)
	failed := make([]error, len(p.Runs))
	p.Drop(failed)
	if p.Alone.Money == nil || *p.Alone.Money != alone || *p.Alone.SavedMoney != alone-*p.Total.Money || len(p.Late) != late {
		t.Fatalf("alone %+v, %d late, planned %d, %d late", p.Alone, len(p.Late), alone, late)
	}
	failed = make([]error, len(p.Runs))
	failed[0] = context.Canceled
	p.Late = []LateRun{{Run: p.Runs[0].Name}}
	p.Drop(failed)
	if len(p.Late) > 0 || *p.Alone.Money >= alone || p.Alone.Runs != p.Total.Orders {
		t.Errorf("without a run alone %d of %d, %d runs of %d orders, late %v", *p.Alone.Money, alone, p.Alone.Runs, p.Total.Orders, p.Late)
	}
}
