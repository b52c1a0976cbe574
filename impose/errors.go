package impose

import "errors"

// LaneError says why artworks can't be given lanes.
type LaneError struct{ Text, Way string }

func (e *LaneError) Error() string { return e.Text }

// Hint returns the way out.
func (e *LaneError) Hint() string { return e.Way }

// OutlineError says why a file with a contour can't be used.
type OutlineError struct {
	Path string
	Err  error
	Way  string
}

func (e *OutlineError) Error() string { return e.Path + ": " + e.Err.Error() }
func (e *OutlineError) Unwrap() error { return e.Err }

// Hint returns the way out.
func (e *OutlineError) Hint() string {
	var hinted interface{ Hint() string }
	if e.Way == "" && errors.As(e.Err, &hinted) {
		return hinted.Hint()
	}
	return e.Way
}

// UnderprintError says why the job's underprint can't be printed.
type UnderprintError struct{ Text, Way string }

func (e *UnderprintError) Error() string { return e.Text }

// Hint returns the way out.
func (e *UnderprintError) Hint() string { return e.Way }

// DataError says why a job's variable data can't be laid on its frame.
type DataError struct{ Text, Way string }

func (e *DataError) Error() string { return e.Text }

// Hint returns the way out.
func (e *DataError) Hint() string { return e.Way }
