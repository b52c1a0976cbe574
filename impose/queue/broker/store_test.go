package broker_test

import (
	"errors"
	"testing"

	"quoin/impose/queue/broker"
	"quoin/impose/say"
)

// TestStoreHasOneBroker begins a second broker over a store: it is turned away until
// the first has ended, and that is nobody's order's fault.
func TestStoreHasOneBroker(t *testing.T) {
	o := broker.Options{Store: t.TempDir()}
	first, err := broker.Start(o)
	if err != nil {
		t.Fatal(err)
	}
	if second, err := broker.Start(o); !errors.Is(err, broker.ErrHeld) || say.KindOf(err) != say.Away {
		if second != nil {
			second.Close()
		}
		t.Errorf("a second broker over one store: %v", err)
	}
	first.Close()
	after, err := broker.Start(o)
	if err != nil {
		t.Fatalf("a broker after the first: %v", err)
	}
	after.Close()
}

// TestRefusedBrokerLeavesItsStore begins a broker that can't start: it keeps the store
// from nobody.
func TestRefusedBrokerLeavesItsStore(t *testing.T) {
	o := broker.Options{Store: t.TempDir(), Users: "no such file"}
	if _, err := broker.Start(o); err == nil {
		t.Fatal("a broker starts without its users")
	}
	o.Users = ""
	b, err := broker.Start(o)
	if err != nil {
		t.Fatal(err)
	}
	b.Close()
}
