package vary

import (
	"bufio"
	"io"
	"strconv"
)

// ledgerHead names the ledger's columns. Frames count through the whole run,
// lanes and rows as on the press, rolls along each lane as the last rewinder
// winds them: 1 is wound first, see Order.Roll. The state of a station without a record of its own says what it
// carries.
const ledgerHead = "record,frame,lane,row,roll,state\n"

// ledger says which record stands where, one line for each station.
type ledger struct {
	w   *bufio.Writer
	row []byte
	err error
}

func newLedger(w io.Writer) *ledger {
	l := &ledger{w: bufio.NewWriterSize(w, 1<<16)}
	_, l.err = l.w.WriteString(ledgerHead)
	return l
}

func (l *ledger) frame(r *Run, job *frameJob) error {
	for i := range r.stations {
		s := &r.stations[i]
		row := l.row[:0]
		if n := job.numbers[i]; n > 0 {
			row = strconv.AppendInt(row, n, 10)
		}
		for _, v := range [...]int64{job.frame + 1, int64(s.Lane), int64(s.Row), r.Order.Roll(job.frame, s.lane, s.Row-1)} {
			row = strconv.AppendInt(append(row, ','), v, 10)
		}
		switch {
		case job.is[i] == printed:
			row = append(row, ",printed\n"...)
		case job.is[i] == changing:
			row = append(row, ",change-over\n"...)
		case job.numbers[i] > 0:
			row = append(row, ",repeat\n"...)
		default:
			row = append(append(append(row, ','), r.plan.Spare...), '\n')
		}
		l.row = row
		if _, err := l.w.Write(row); err != nil && l.err == nil {
			l.err = err
		}
	}
	return l.err
}

func (l *ledger) close() error {
	if err := l.w.Flush(); l.err == nil {
		l.err = err
	}
	return l.err
}
