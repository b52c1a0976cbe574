package status

import (
	"fmt"
	"io"

	"quoin/impose/queue/task"
	"quoin/impose/say"
)

// shown is how many tasks the text lists of those that wait.
const shown = 40

// Text says it for people.
func (l *List) Text(w io.Writer) error {
	counts := map[task.State]int{}
	for _, t := range l.Tasks {
		counts[t.State]++
	}
	fmt.Fprintf(w, "%s waiting, %s being done, %s set aside; the store takes %s MB\n",
		say.Number(int64(l.Totals.Queued)-int64(counts[task.Running])), say.Number(int64(counts[task.Running])), say.Number(int64(l.Totals.SetAside)), say.Fixed(float64(l.Totals.StoreBytes)/1e6, 1))
	for _, lane := range l.Lanes {
		if lane.Waiting+uint64(lane.Busy) > 0 {
			fmt.Fprintf(w, "%s, priority %d: %s waiting, %s at workers, for quoin %s\n", lane.User, lane.Priority, say.Number(int64(lane.Waiting)), say.Number(int64(lane.Busy)), lane.Engine)
		}
	}
	left := 0
	for i, t := range l.Tasks {
		if i >= shown && t.State == task.Queued {
			left++
			continue
		}
		line := fmt.Sprintf("%s  %-9s  %-7s", task.Short(t.ID), t.State, t.Kind)
		if t.Title != "" {
			line += "  " + t.Title
		}
		if t.Batch != "" {
			line += " of " + t.Batch
		}
		if t.Worker != "" {
			line += ", at " + t.Worker
		}
		if t.Tries > 0 {
			line += ", " + say.CountOf(t.Tries, "try failed", "tries failed")
		}
		if t.Reason != "" {
			line += ": " + say.Clip(t.Reason, 300)
		}
		fmt.Fprintln(w, line)
	}
	if left > 0 {
		fmt.Fprintf(w, "and %s that wait; --json lists all\n", say.Number(left))
	}
	_, err := io.WriteString(w, "")
	return err
}
