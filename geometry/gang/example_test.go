package gang_test

import (
	"context"
	"fmt"

	"quoin/geometry/gang"
)

// Three orders share six lanes: a set-up costs as much as 100 units of length.
func ExampleSolve() {
	problem := gang.Problem{
		Orders:   []gang.Order{{Name: "juice", Demand: 3000}, {Name: "cider", Demand: 2000}, {Name: "perry", Demand: 1000}},
		Capacity: 6, LengthCost: 1, RunCost: 100,
	}
	plan, bounds, err := gang.Solve(context.Background(), problem, gang.Limits{Steps: 1_000_000})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, run := range plan.Runs {
		for _, share := range run.Shares {
			fmt.Printf("%d lanes of %s for %d\n", share.Lanes, problem.Orders[share.Order].Name, run.Length)
		}
	}
	fmt.Println("proved:", bounds.Proved)
	// Output:
	// 3 lanes of juice for 1000
	// 2 lanes of cider for 1000
	// 1 lanes of perry for 1000
	// proved: true
}
