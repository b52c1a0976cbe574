package barcode

import "quoin/impose/gs1"

// appendElements adds GS1 elements the way symbols hold them. Values are checked
// against their identifiers.
func appendElements(dst []byte, list []gs1.Element) ([]byte, error) {
	for _, e := range list {
		if err := e.Check(); err != nil {
			return dst, err
		}
	}
	if err := gs1.Repeated(list); err != nil {
		return dst, err
	}
	return gs1.Append(dst, list, separator), nil
}
