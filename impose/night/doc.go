// Package night plans the gang runs of a night: which orders share a frame, in
// how many lanes, for how long.
//
//	job.ReadOrderList -> Make: groups of orders that may share a frame
//	               -> gang.SolveAll -> Plan (text, JSON, HTML)
//	               -> Plan.Build: a folder with a PDF for every run
//
// An order that can't be taken is listed with its reason and stops no other.
// The same orders under the same rules give the same plan and the same bytes.
package night
