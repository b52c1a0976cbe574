package barcode

import "quoin/impose/gs1"

// appendElements adds GS1 element strings, written for people as
// "(01)09501101530003(10)AB-12", the way symbols hold them. Values are checked
// against their identifiers.
func appendElements(dst []byte, text string) ([]byte, error) {
	list, err := gs1.Parse(text)
	if err != nil {
		return dst, err
	}
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
