package plan

import (
	"path/filepath"

	"quoin/impose"
	"quoin/impose/desk/folder"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// Houses reads the house files that quoin impose takes for a job of the folder:
// the one beside the job, which may name nothing outside, and the user's own,
// which may.
func Houses(f *folder.Folder, path string) (job.Houses, error) {
	dir := filepath.Dir(filepath.Join(f.Path, filepath.FromSlash(path)))
	list, err := job.FindHousesBy(dir, f.House, f.Named)
	if err != nil {
		return nil, err
	}
	for _, h := range list {
		if h.Path == f.House {
			f.Trust(h.Files())
		}
	}
	return list, nil
}

// Inputs returns the paths of all files besides the job's own that a plan rests on,
// also of those that aren't there yet.
func Inputs(f *folder.Folder, path string, j *job.Job) []string {
	beside := filepath.Join(filepath.Dir(filepath.Join(f.Path, filepath.FromSlash(path))), job.HouseFile)
	list := []string{beside, f.House}
	if j != nil {
		list = append(list, j.Files()[1:]...)
	}
	return list
}

// housesOf says what a job takes from house files, by their names for people.
func housesOf(f *folder.Folder, j *job.Job) []summary.House {
	if j == nil {
		return nil
	}
	list := impose.TookFrom(j, impose.Written{})
	for i := range list {
		list[i].Path = f.NameOf(filepath.FromSlash(list[i].Path))
	}
	return list
}
