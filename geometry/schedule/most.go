package schedule

// MostExact is the greatest number of runs that Solve puts into the best order of all.
const MostExact = mostExact
