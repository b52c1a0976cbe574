package job

// What there is to ask of a job has several sides, each of which is a value.

// Inputs are the files that a job is read from or names.
type Inputs struct{ job *Job }

// Inputs gives the job's files.
func (j *Job) Inputs() Inputs { return Inputs{j} }

// Rolls are the finished rolls of a job's artworks.
type Rolls struct{ job *Job }

// Rolls gives the job's finished rolls.
func (j *Job) Rolls() Rolls { return Rolls{j} }

// Supply is the webs that a job may be printed on.
type Supply struct{ job *Job }

// Supply gives the job's webs.
func (j *Job) Supply() Supply { return Supply{j} }

// Labels are the labels of a job's artworks: their sizes, and how many.
type Labels struct{ job *Job }

// Labels gives the job's labels.
func (j *Job) Labels() Labels { return Labels{j} }

// Question is what a job asks of geometry.
type Question struct{ job *Job }

// Question gives what the job asks of geometry.
func (j *Job) Question() Question { return Question{j} }
