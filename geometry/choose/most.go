package choose

// MostExact is the greatest number of orders of which every partition over all beds is
// looked at; of more, only the bound says how good a choice is.
const MostExact = mostExact
