package impose

import (
	"slices"

	"quoin/impose/job"
	"quoin/impose/say"
)

// refuseMixUps keeps drug labels off shared frames. 21 CFR 211.122(f)
// prohibits gang-printed labeling for different drug products, strengths or
// net contents unless adequately differentiated by size, shape or color; the
// customer's quality unit and the local law decide, not this program. A label
// that has its frame to itself is warned of, so that nobody misses what it is.
func refuseMixUps(artworks []job.Artwork) (said remarks, err error) {
	drug := slices.IndexFunc(artworks, func(a job.Artwork) bool { return a.DrugLabel })
	if drug < 0 {
		return said, nil
	}
	if len(artworks) > 1 {
		return said, say.Refuse(say.NotFit,
			"run it alone: gang-printed labeling for different drug products is restricted (21 CFR 211.122(f)); ask your quality unit",
			"%s is a drug label and shares the frame with other products", artworks[drug].File)
	}
	said.warn(codeDrugLabel, "DRUG LABEL: %s", job.DrugLabelRun)
	return said, nil
}
