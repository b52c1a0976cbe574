package gs1

import (
	"fmt"
	"strings"
)

// set82 is GS1 AI encodable character set 82, in the order of its values (GS1
// General Specifications 7.11).
const set82 = "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"

// place82 returns a character's value in set 82, or -1.
func place82(c byte) int { return strings.IndexByte(set82, c) }

// primes weigh the characters of a check pair from the right, and pairs are the
// characters that a pair is made of: the digits and letters that are not easily
// taken for each other.
var primes = [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83}

const pairs = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"

// CheckPair returns the two check characters of a global model number or a master
// UDI-DI without them (GS1 General Specifications 7.9.5). It fails where data is
// longer than 23 characters or not of set 82.
func CheckPair(data string) (string, error) {
	if wrong := beyondASCII(data); wrong != "" {
		return "", fault("", "leave it out", "%s", wrong)
	}
	if len(data) > len(primes) {
		return "", fault("", "shorten it", "%q is longer than %d characters", data, len(primes))
	}
	sum := 0
	for i := range len(data) {
		v := place82(data[len(data)-1-i])
		if v < 0 {
			return "", fault("", "leave it out", "%q holds %q, which may not stand there", data, data[len(data)-1-i])
		}
		sum += v * primes[i]
	}
	sum %= 1021
	return string([]byte{pairs[sum>>5], pairs[sum&31]}), nil
}

func checkPair(s string) (wrong, way string) {
	way = "a character of it is wrong; ask whoever gave the number"
	if len(s) < 3 {
		return fmt.Sprintf("%q is too short for two check characters", s), way
	}
	want, err := CheckPair(s[:len(s)-2])
	if err != nil {
		return err.Error(), way
	}
	if got := s[len(s)-2:]; got != want {
		return fmt.Sprintf("%q ends in the check characters %s, but its characters give %s", s, got, want), way
	}
	return "", ""
}
