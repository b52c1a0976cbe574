// Package edit changes one value of a YAML file as a careful person would in an
// editor: comments, the order of keys, unknown keys and every other byte stay.
// Where a value stands is asked of the YAML parser; what is written is checked
// by it again, so that an edit never changes anything beside its own key.
package edit
