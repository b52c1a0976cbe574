package main

import (
	"bytes"
	"crypto/sha256"
	"math/rand/v2"
	"testing"
)

func TestBackgroundSum(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		b := newBackgroundSum()
		var all []byte
		for range random.IntN(20) {
			part := make([]byte, random.IntN(3*sumChunk))
			for i := range part {
				part[i] = byte(random.Uint32())
			}
			all = append(all, part...)
			if n, err := b.Write(part); n != len(part) || err != nil {
				t.Fatal(n, err)
			}
		}
		if want := sha256.Sum256(all); !bytes.Equal(b.end(), want[:]) {
			t.Fatalf("the sum of %d bytes is wrong", len(all))
		}
	}
}
