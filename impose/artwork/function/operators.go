package function

import "math"

// stack is a running program. Booleans are 0 and 1: and, or, xor and not on
// them give the same as on truth values, but for not, which is told apart by
// the flag in logical.
type stack struct {
	values  []float64
	logical [maxStack]bool
	failed  bool
}

func (s *stack) push(v float64, logical bool) {
	if len(s.values) >= maxStack || math.IsNaN(v) {
		s.failed = true
		return
	}
	s.logical[len(s.values)] = logical
	s.values = append(s.values, v)
}

func (s *stack) pop() float64 {
	n := len(s.values)
	if n == 0 {
		s.failed = true
		return 0
	}
	v := s.values[n-1]
	s.values = s.values[:n-1]
	return v
}

// run stops at the first fault.
func (s *stack) run(program []instruction) {
	for _, i := range program {
		switch i.op {
		case "":
			s.push(i.number, false)
		case "if", "ifelse":
			if s.pop() != 0 {
				s.run(i.yes)
			} else {
				s.run(i.no)
			}
		default:
			operators[i.op](s)
		}
		if s.failed {
			return
		}
	}
}

func one(f func(a float64) float64) func(*stack) {
	return func(s *stack) { s.push(f(s.pop()), false) }
}

func two(f func(a, b float64) float64) func(*stack) {
	return func(s *stack) { b := s.pop(); s.push(f(s.pop(), b), false) }
}

func test(f func(a, b float64) bool) func(*stack) {
	return func(s *stack) { b := s.pop(); s.push(truth(f(s.pop(), b)), true) }
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// bits keeps truth values truth values.
func bits(f func(a, b int64) int64) func(*stack) {
	return func(s *stack) {
		logical := len(s.values) > 0 && s.logical[len(s.values)-1]
		b := s.pop()
		s.push(float64(f(whole(s.pop()), whole(b))), logical)
	}
}

// whole is the whole part as PostScript's 32 bits hold it.
func whole(v float64) int64 { return int64(clip(v, math.MinInt32, math.MaxInt32)) }

// degrees turns an angle into PostScript's range of 0 to 360.
func degrees(radians float64) float64 {
	d := radians * 180 / math.Pi
	if d < 0 {
		d += 360
	}
	return d
}

func radians(degrees float64) float64 { return math.Mod(degrees, 360) * math.Pi / 180 }

// operators are those of Table 42, without if and ifelse.
var operators = map[string]func(*stack){
	"abs":      one(math.Abs),
	"neg":      one(func(a float64) float64 { return -a }),
	"ceiling":  one(math.Ceil),
	"floor":    one(math.Floor),
	"round":    one(func(a float64) float64 { return math.Floor(a + 0.5) }),
	"truncate": one(math.Trunc),
	"sqrt":     one(math.Sqrt),
	"sin":      one(func(a float64) float64 { return math.Sin(radians(a)) }),
	"cos":      one(func(a float64) float64 { return math.Cos(radians(a)) }),
	"ln":       one(math.Log),
	"log":      one(math.Log10),
	"cvi":      one(math.Trunc),
	"cvr":      one(func(a float64) float64 { return a }),
	"add":      two(func(a, b float64) float64 { return a + b }),
	"sub":      two(func(a, b float64) float64 { return a - b }),
	"mul":      two(func(a, b float64) float64 { return a * b }),
	"div":      two(func(a, b float64) float64 { return a / b }),
	"exp":      two(math.Pow),
	"atan":     two(func(a, b float64) float64 { return degrees(math.Atan2(a, b)) }),
	"idiv":     two(func(a, b float64) float64 { return math.Trunc(math.Trunc(a) / math.Trunc(b)) }),
	"mod":      two(func(a, b float64) float64 { return math.Mod(math.Trunc(a), math.Trunc(b)) }),
	"eq":       test(func(a, b float64) bool { return a == b }),
	"ne":       test(func(a, b float64) bool { return a != b }),
	"gt":       test(func(a, b float64) bool { return a > b }),
	"ge":       test(func(a, b float64) bool { return a >= b }),
	"lt":       test(func(a, b float64) bool { return a < b }),
	"le":       test(func(a, b float64) bool { return a <= b }),
	"and":      bits(func(a, b int64) int64 { return a & b }),
	"or":       bits(func(a, b int64) int64 { return a | b }),
	"xor":      bits(func(a, b int64) int64 { return a ^ b }),
	"bitshift": two(func(a, b float64) float64 { return float64(shift(int32(whole(a)), whole(b))) }),
	"not":      (*stack).not,
	"true":     func(s *stack) { s.push(1, true) },
	"false":    func(s *stack) { s.push(0, true) },
	"pop":      func(s *stack) { s.pop() },
	"exch":     func(s *stack) { s.roll(2, 1) },
	"dup":      func(s *stack) { s.copy(1) },
	"copy":     func(s *stack) { s.copy(s.pop()) },
	"index":    (*stack).index,
	"roll":     func(s *stack) { j := s.pop(); s.roll(s.pop(), j) },
}

func (s *stack) not() {
	logical := len(s.values) > 0 && s.logical[len(s.values)-1]
	v := s.pop()
	if logical {
		s.push(1-v, true)
		return
	}
	s.push(float64(^whole(v)), false)
}

// shift moves left for a positive count; what is shifted out is lost.
func shift(v int32, by int64) int32 {
	switch {
	case by > 31 || by < -31:
		return 0
	case by >= 0:
		return v << by
	}
	return int32(uint32(v) >> -by)
}

// count checks that n is a number of values that the stack holds.
func (s *stack) count(n float64) (int, bool) {
	if !(n >= 0 && n <= float64(len(s.values))) {
		s.failed = true
		return 0, false
	}
	return int(n), true
}

func (s *stack) copy(n float64) {
	count, ok := s.count(n)
	if !ok {
		return
	}
	from := len(s.values) - count
	for i := range count {
		s.push(s.values[from+i], s.logical[from+i])
	}
}

func (s *stack) index() {
	n, ok := s.count(s.pop() + 1)
	if !ok || n == 0 {
		s.failed = true
		return
	}
	at := len(s.values) - n
	s.push(s.values[at], s.logical[at])
}

// roll moves the uppermost n values j places up, round and round.
func (s *stack) roll(n, j float64) {
	count, ok := s.count(n)
	if !ok || count == 0 {
		return
	}
	by := int(math.Mod(clip(j, math.MinInt32, math.MaxInt32), float64(count)))
	if by < 0 {
		by += count
	}
	top := s.values[len(s.values)-count:]
	flags := s.logical[len(s.values)-count : len(s.values)]
	rotate(top, by)
	rotate(flags, by)
}

func rotate[T any](list []T, by int) {
	turned := append(append([]T{}, list[len(list)-by:]...), list[:len(list)-by]...)
	copy(list, turned)
}
