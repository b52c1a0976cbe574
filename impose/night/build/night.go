package build

import (
	"context"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/summary"
)

// Night is all that a night is made from.
type Night struct {
	Orders *job.OrderList
	Rules  *night.Rules
	Inputs []summary.File // the files behind orders and rules, see Rules.Inputs
	Words  []string       // of the command line that the night depends on, with the program's version

	Before *plan.Before // an earlier plan of the same nights; nil where there is none

	Curve, Compare bool  // what the plan says beside the runs
	Hands          Hands // that make the runs; nil for this process

	// Tell is told what a person should know of an earlier start.
	Tell func(format string, args ...any)
}

// Plan plans the night, in the folder where there is one.
func (n *Night) Plan(ctx context.Context, f *folder.Folder) (*plan.Plan, error) {
	p, err := n.plan(ctx, f)
	if err != nil {
		return nil, err
	}
	p.LeaveOut(night.Faults(n.Orders.Bad))
	p.Tell(night.Words(n.Orders.Words))
	p.Inputs = n.Inputs
	if err := p.OfferTools(ctx, n.Orders.Orders); err != nil {
		return nil, err
	}
	if n.Curve {
		if err := p.Curves(ctx); err != nil {
			return nil, err
		}
	}
	if n.Compare {
		if err := p.Compared(ctx, n.Orders.Orders); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (n *Night) plan(ctx context.Context, f *folder.Folder) (*plan.Plan, error) {
	if n.Before != nil {
		return plan.MakeAfter(ctx, n.Orders.Orders, n.Rules, n.Before)
	}
	return plan.Make(ctx, n.Orders.Orders, n.Rules, f)
}

// Build plans the night, imposes its runs and makes the folder appear. One that
// is there already is only told of again.
func (n *Night) Build(ctx context.Context, place string) (*plan.Plan, error) {
	key, err := Key(ctx, n.Inputs, n.Orders.Orders, n.Words)
	if err != nil {
		return nil, err
	}
	f, err := folder.Open(place, key)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if f.Done() {
		n.Tell("%s was built already; nothing is done twice", place)
		p, err := report.Read(f)
		if err == nil && n.Rules.Verify {
			err = Prove(ctx, f, p, n.Rules, n.password())
		}
		return p, err
	}
	if f.Restarted() {
		n.Tell("an unfinished night from other orders or rules is thrown away")
	} else if f.Kept() > 0 {
		n.Tell("going on with an unfinished night: %d of its files are kept", f.Kept())
	}
	p, err := n.Plan(ctx, f)
	if err != nil {
		return nil, err
	}
	if err := Runs(ctx, f, p, n.Rules, n.Hands); err != nil {
		return nil, err
	}
	if err := report.Write(f, p); err != nil {
		return nil, err
	}
	if len(p.Runs) > 0 {
		return p, f.Commit()
	}
	n.Tell("nothing was built; %s holds the report only, and the next start may use the name again", place)
	return p, f.CommitProvisional()
}

// password returns what opens the orders' artworks by their names.
func (n *Night) password() func(artwork string) string {
	all := *n.Rules.House
	for _, o := range n.Orders.Orders {
		all.Artworks = append(all.Artworks, job.Artwork{File: o.Artwork, Password: o.Password})
	}
	return all.PasswordOf
}
