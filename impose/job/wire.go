package job

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"time"
)

// wired is a job on its way to another machine: all its values exactly, and of
// where they stood in files only what names them in words.
type wired struct {
	Job   any      `json:"job"`
	File  string   `json:"file,omitempty"`
	Press string   `json:"press,omitempty"`
	Dies  string   `json:"dies,omitempty"`
	At    [][2]int `json:"at,omitempty"` // line and column of each die
}

// Pack returns the job as JSON that Unpack reads on another machine: lengths as
// whole nanometres, what is zero left out. Passwords are in it, so a job that
// holds any is not to be packed: see Locked.
func (j *Job) Pack() ([]byte, error) {
	w := wired{Job: pack(reflect.ValueOf(j).Elem()), File: j.source.path}
	if j.Press != nil {
		w.Press = j.Press.source.path
	}
	if d := j.Dies; d != nil {
		w.Dies = d.path
		for _, s := range d.sources {
			w.At = append(w.At, [2]int{s.record.line, s.record.col})
		}
	}
	return json.Marshal(w)
}

// Unpack reads what Pack wrote. Errors say what is wrong with it; nothing is
// read from any file.
func Unpack(data []byte) (*Job, error) {
	var raw json.RawMessage
	w := wired{Job: &raw}
	if err := json.Unmarshal(data, &w); err != nil {
		return nil, fmt.Errorf("a packed job can't be read: %w", err)
	}
	j := new(Job)
	if err := unpack(raw, reflect.ValueOf(j).Elem()); err != nil {
		return nil, fmt.Errorf("a packed job can't be read: %w", err)
	}
	j.source.path = w.File
	if j.Press != nil {
		j.Press.source.path = w.Press
	}
	if d := j.Dies; d != nil {
		d.path, d.sources = w.Dies, make([]source, len(d.Dies))
		for i := range min(len(w.At), len(d.sources)) {
			d.sources[i] = source{path: w.Dies, record: place{w.At[i][0], w.At[i][1]}}
		}
	}
	return j, nil
}

// Locked reports whether the job holds a password, or names a file with the key of
// codes that nobody may guess.
func Locked(j *Job) bool {
	if j.Data != nil && slices.ContainsFunc(j.Data.Randoms, func(r Random) bool { return r.Key != "" }) {
		return true
	}
	for _, a := range j.Artworks {
		if a.Password != "" {
			return true
		}
	}
	return j.Password != ""
}

var timeType = reflect.TypeFor[time.Time]()

// texted reports whether values of a type are packed as their own text: those
// that hide what they hold.
func texted(t reflect.Type) bool {
	if t == timeType {
		return true
	}
	if t.Kind() != reflect.Struct || !reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		return false
	}
	for i := range t.NumField() {
		if !t.Field(i).IsExported() {
			return true
		}
	}
	return false
}

// pack returns what json.Marshal takes for a value, without the texts that
// lengths and shares have for people.
func pack(v reflect.Value) any {
	switch {
	case v.Kind() == reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		return []any{pack(v.Elem())} // a pointer to nothing much is still a pointer
	case texted(v.Type()):
		return v.Interface()
	}
	switch v.Kind() {
	case reflect.Struct:
		fields := map[string]any{}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Type.Kind() != reflect.Func && !v.Field(i).IsZero() {
				fields[f.Name] = pack(v.Field(i))
			}
		}
		return fields
	case reflect.Slice, reflect.Array:
		list := make([]any, v.Len())
		for i := range list {
			list[i] = pack(v.Index(i))
		}
		return list
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return v.Int()
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return v.Uint()
	case reflect.String:
		return v.String()
	}
	return v.Interface()
}

// unpack fills a value with what pack made of it.
func unpack(raw json.RawMessage, v reflect.Value) error {
	switch {
	case v.Kind() == reflect.Pointer:
		var held []json.RawMessage
		if err := json.Unmarshal(raw, &held); err != nil || held == nil {
			return err
		}
		if len(held) != 1 {
			return fmt.Errorf("%d values stand for one of %s", len(held), v.Type())
		}
		v.Set(reflect.New(v.Type().Elem()))
		return unpack(held[0], v.Elem())
	case texted(v.Type()):
		return json.Unmarshal(raw, v.Addr().Interface())
	}
	switch v.Kind() {
	case reflect.Struct:
		var fields map[string]json.RawMessage
		if err := json.Unmarshal(raw, &fields); err != nil {
			return err
		}
		for name, part := range fields {
			f, known := v.Type().FieldByName(name)
			if !known || !f.IsExported() {
				return fmt.Errorf("%s has no %s", v.Type(), name)
			}
			if err := unpack(part, v.FieldByIndex(f.Index)); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
		}
		return nil
	case reflect.Slice:
		var list []json.RawMessage
		if err := json.Unmarshal(raw, &list); err != nil {
			return err
		}
		v.Set(reflect.MakeSlice(v.Type(), len(list), len(list)))
		for i := range list {
			if err := unpack(list[i], v.Index(i)); err != nil {
				return fmt.Errorf("%d: %w", i, err)
			}
		}
		return nil
	}
	return unpackPlain(raw, v)
}

// unpackPlain fills an array or a scalar of any named type by way of the plain
// one beneath it, so that no UnmarshalText of its own is asked.
func unpackPlain(raw json.RawMessage, v reflect.Value) error {
	var plain reflect.Value
	switch v.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		plain = reflect.ValueOf(new(int64))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		plain = reflect.ValueOf(new(uint64))
	case reflect.String:
		plain = reflect.ValueOf(new(string))
	default:
		return json.Unmarshal(raw, v.Addr().Interface())
	}
	if err := json.Unmarshal(raw, plain.Interface()); err != nil {
		return err
	}
	v.Set(plain.Elem().Convert(v.Type()))
	return nil
}
