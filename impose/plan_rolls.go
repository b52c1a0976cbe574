package impose

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
)

// rollRule returns what the job says of an artwork's finished rolls.
func rollRule(j *job.Job, l *geometry.Layout, artwork int) geometry.RollRule {
	rule := geometry.RollRule{
		Roll:   geometry.Roll{Core: j.Roll.Core, Caliper: j.Material.Caliper},
		Labels: job.RollLabels(j, artwork), Largest: j.Roll.MaxDiameter,
	}
	if s := job.RollSplices(j, artwork); s != nil && *s {
		rule.Splices = l.Across
	}
	return rule
}

// labelsPerRoll returns how many labels a finished roll of each artwork holds, and
// warns of what contradicts itself, once for artworks with rolls alike. straight
// says that every lane can be slit on its own.
func labelsPerRoll(j *job.Job, l *geometry.Layout, straight bool) (perRoll []int64, said remarks, err error) {
	perRoll = make([]int64, len(j.Artworks))
	if job.MostOnRoll(j) == 0 && j.Roll.MaxDiameter == 0 {
		return perRoll, said, nil
	}
	if !straight {
		said.warn(codeRolls, "finished rolls are not counted: no straight slit parts the lanes")
		return perRoll, said, nil
	}
	if rule := rollRule(j, l, 0); rule.Largest > 0 && rule.Check() != nil {
		missing := "the material's caliper"
		if rule.Core == 0 {
			missing = "the core's outer diameter"
		}
		said.warn(codeRollDiameter, "rolls of at most %s can't be checked: %s is not said", rule.Largest, missing)
		for i := range perRoll {
			perRoll[i] = job.RollLabels(j, i)
		}
		return perRoll, said, nil
	}
	warned := map[int64]bool{}
	for i := range perRoll {
		rule := rollRule(j, l, i)
		if rule.Labels == 0 && rule.Largest == 0 {
			continue
		}
		n, err := rule.LabelsPerRoll(rowPitch(l))
		if err != nil {
			if rule.Labels == 0 {
				return nil, said, say.Refuse(say.NotFit, "allow larger rolls, or a smaller core", "%v", err)
			}
			if n = rule.Labels; !warned[n] {
				said.warn(codeRollDiameter, "%v", err)
			}
			warned[n] = true
		}
		perRoll[i] = n
	}
	return perRoll, said, nil
}

// rowPitch returns the web that one label of a lane takes; where lanes have
// different rows, those of the fullest.
func rowPitch(l *geometry.Layout) geometry.Length {
	rows := make([]geometry.Length, l.Across+1)
	for _, s := range l.Station {
		rows[s.Lane]++
	}
	return l.Repeat / slices.Max(rows)
}
