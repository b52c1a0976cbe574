package spread

import (
	"context"
	"fmt"
	"os"
	"runtime/debug"

	"quoin/impose/night/build"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
)

// Do does a task of any kind that a worker knows; commands are carried out by
// command, labels looked at by look. It trusts nothing in the task but what its kind can read, and opens no
// path that a task names.
func Do(command work.Do, look build.Look) work.Do {
	return func(ctx context.Context, t *task.Task, lies map[string]string, dir string) (a *work.Answer, err error) {
		defer func() {
			if r := recover(); r != nil {
				fmt.Fprintf(os.Stderr, "panic: %v\n%s", r, debug.Stack())
				a, err = nil, fmt.Errorf("panic: %v", r)
			}
		}()
		switch t.Kind {
		case task.Run:
			return doRun(ctx, t, lies, dir, look)
		case task.Part:
			return doPart(ctx, t, lies, dir)
		case task.Search:
			return doSearch(ctx, t)
		case task.Command:
			if command != nil {
				return command(ctx, t, lies, dir)
			}
		}
		return nil, fmt.Errorf("this worker knows no pieces of the kind %q", t.Kind)
	}
}
