package main

import (
	"context"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/summary"
)

// gangNight is one night on its way.
type gangNight struct {
	flags  *gangFlags
	rules  *night.Rules
	list   *job.OrderList
	inputs []summary.File
}

// planned plans the night, in the folder where there is one.
func (n *gangNight) planned(ctx context.Context, f *folder.Folder) (*night.Plan, error) {
	plan, err := night.Make(ctx, n.list.Orders, n.rules, f)
	if err != nil {
		return nil, err
	}
	plan.LeaveOut(night.Faults(n.list.Bad))
	plan.Tell(night.Words(n.list.Words))
	plan.Inputs = n.inputs
	if n.flags.curve {
		if err := plan.Curves(ctx); err != nil {
			return nil, err
		}
	}
	if n.flags.compare {
		if err := plan.Compared(ctx, n.list.Orders); err != nil {
			return nil, err
		}
	}
	return plan, nil
}

// built plans the night, imposes its runs and makes the folder appear. One that
// is there already is only told of again.
func (n *gangNight) built(ctx context.Context, io streams) (*night.Plan, error) {
	key, err := night.Key(ctx, n.inputs, n.list.Orders, n.flags.words())
	if err != nil {
		return nil, err
	}
	f, err := folder.Open(n.flags.out, key)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if f.Done() {
		io.tell("%s was built already; nothing is done twice", n.flags.out)
		plan, err := night.ReadPlan(f)
		if err == nil && n.flags.verify {
			err = plan.Prove(ctx, f)
		}
		return plan, err
	}
	if f.Restarted() {
		io.tell("an unfinished night from other orders or rules is thrown away")
	} else if f.Kept() > 0 {
		io.tell("going on with an unfinished night: %d of its files are kept", f.Kept())
	}
	plan, err := n.planned(ctx, f)
	if err != nil {
		return nil, err
	}
	if err := plan.Build(ctx, f); err != nil {
		return nil, err
	}
	if err := plan.Report(f); err != nil {
		return nil, err
	}
	if len(plan.Runs) > 0 {
		return plan, f.Commit()
	}
	io.tell("nothing was built; %s holds the report only, and the next start may use the name again", n.flags.out)
	return plan, f.CommitProvisional()
}
