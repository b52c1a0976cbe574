// Package night holds what the rooms of a night of gang runs speak of: the
// rules that it is planned under, the notes on its orders with their codes, and
// how its files are named.
//
//	job.OrderForm.ReadList
//	                  -> intake.Take: orders with their formes, inks and needs
//	                  -> plan.Make: groups that may share runs, searched by gang
//	                  -> build.Runs: a folder with a PDF, a sheet, a summary for each run
//	                  -> report.Write: what there is to say, as text, page and JSON
//
// build.Night takes the whole way. An order that can't be taken is listed with
// its reason and stops no other. The same orders under the same rules give the
// same plan and the same bytes.
package night
