package impose

import (
	"strconv"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/job"
)

// sayOfFiles says what is to be known of the artworks' files as a whole: pages
// that are not used, restrictions that somebody lifted, and trapping.
func sayOfFiles(j *job.Job, files *artworkFiles, pages []*artwork.Page) (said remarks) {
	compareTrapping(&said, j, pages)
	for _, path := range files.order {
		sayUnused(&said, j, files.files[path], pages)
	}
	for i, p := range pages {
		if p.Doc.Restricted() {
			said.warn(codePermitted, "%s: the file's permissions forbid changing and assembling it; it is placed with the leave of %s", pageName(j.Artworks[i], p), leaveFor(j, p.File, pages))
		}
	}
	return said
}

// maxUnused is how many unused pages are named.
const maxUnused = 5

// sayUnused says which pages of an artwork's file stand on no lane: a back, or
// another version, is easily forgotten.
func sayUnused(said *remarks, j *job.Job, f *artwork.File, pages []*artwork.Page) {
	name, used := "", map[int]bool{}
	for i, p := range pages {
		if p.File == f {
			used[p.Number], name = true, j.Artworks[i].File
		}
	}
	var unused []string
	for n := 1; n <= f.Pages() && len(unused) <= maxUnused; n++ {
		if !used[n] {
			unused = append(unused, strconv.Itoa(n))
		}
	}
	rest := f.Pages() - len(used) - maxUnused
	switch {
	case len(unused) == 0:
	case len(unused) == 1:
		said.warn(codePageUnused, "%s: page %s is not used; --page %s, or `pages:` in a job file", name, unused[0], unused[0])
	case rest > 0:
		said.warn(codePageUnused, "%s: pages %s and %d more are not used; --page, or `pages:` in a job file", name, strings.Join(unused[:maxUnused], ", "), rest)
	default:
		said.warn(codePageUnused, "%s: pages %s are not used; --page, or `pages:` in a job file", name, strings.Join(unused, ", "))
	}
}

// compareTrapping warns where one artwork is trapped and another is not: the
// file can only say one of the two.
func compareTrapping(said *remarks, j *job.Job, pages []*artwork.Page) {
	trapped, not := -1, -1
	for i, p := range pages {
		if p.File.Trapped() {
			trapped = i
		} else if p.File.NotTrapped() {
			not = i
		}
	}
	if trapped >= 0 && not >= 0 {
		said.warn(codeTrappingDiffers, "%s says that it is trapped, and %s that it is not: the file says that it is not; a RIP that traps would trap the first again",
			pageName(j.Artworks[trapped], pages[trapped]), pageName(j.Artworks[not], pages[not]))
	}
}

// leaveFor returns who gave leave to place a file: for any of its pages is for all
// of it, since it is opened once.
func leaveFor(j *job.Job, f *artwork.File, pages []*artwork.Page) string {
	for i, p := range pages {
		if name := job.LeaveFor(j, j.Artworks[i]); p.File == f && name != "" {
			return name
		}
	}
	return ""
}
