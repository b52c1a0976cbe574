// Package impose turns a job into a frame and a summary: the one place that
// knows jobs, artworks, layouts, inks, marks and the press at once.
//
//	job.ReadJob -> impose.Open -> geometry.Plan -> frame + summary
//	                                            -> press writes the PDF
package impose
