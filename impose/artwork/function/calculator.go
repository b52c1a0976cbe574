package function

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"quoin/impose/pdfobj"
)

// calculator is type 4, 7.10.5: a small program in a subset of PostScript.
// It has no loops, so that its length bounds its time.
type calculator struct {
	program []instruction
	out     int
}

// instruction pushes a number, runs an operator or, with op "if" or "ifelse",
// chooses between programs.
type instruction struct {
	op      string // "" for a number
	number  float64
	yes, no []instruction
}

const (
	maxProgram = 1 << 20 // bytes of source
	maxStack   = 256     // 100 is what a reader must have, Annex C
)

func (r *Reader) parseCalculator(stream *pdfobj.Stream, f *Function) (kind, int, error) {
	if stream == nil || f.rng == nil {
		return nil, 0, fmt.Errorf("%w: a calculator function needs a stream and a Range", ErrFunction)
	}
	data, err := r.doc.Decoded(stream)
	if err != nil {
		return nil, 0, err
	}
	source := &words{r: bufio.NewReader(io.LimitReader(data, maxProgram))}
	defer func() { r.left -= source.n }()
	if source.next() != "{" {
		return nil, 0, fmt.Errorf("%w: the program doesn't begin with a brace", ErrFunction)
	}
	program, err := compile(source, 0)
	if err != nil {
		return nil, 0, fmt.Errorf("%w: %w", ErrFunction, err)
	}
	return calculator{program, len(f.rng) / 2}, len(f.rng) / 2, nil
}

// words cuts a program into braces, numbers and operators.
type words struct {
	r *bufio.Reader
	n int64 // bytes read
}

// next returns the next word; "" at the end.
func (w *words) next() string {
	var word []byte
	for {
		b, err := w.r.ReadByte()
		w.n++
		switch {
		case err != nil:
			return string(word)
		case b == '%':
			for err == nil && b != '\n' && b != '\r' {
				b, err = w.r.ReadByte()
			}
			if len(word) > 0 {
				return string(word)
			}
		case b == ' ' || b == '\t' || b == '\n' || b == '\r' || b == '\f' || b == 0:
			if len(word) > 0 {
				return string(word)
			}
		case b == '{' || b == '}':
			if len(word) > 0 {
				w.r.UnreadByte()
				return string(word)
			}
			return string(b)
		default:
			word = append(word, b)
		}
	}
}

// compile reads up to the closing brace.
func compile(w *words, depth int) ([]instruction, error) {
	if depth > maxDepth*2 {
		return nil, errors.New("the program is nested too deeply")
	}
	program := []instruction{}
	var blocks [][]instruction // blocks that wait for if or ifelse
	for {
		word := w.next()
		switch word {
		case "":
			return nil, errors.New("the program has no end")
		case "}":
			if len(blocks) > 0 {
				return nil, errors.New("a block of the program is not used")
			}
			return program, nil
		case "{":
			block, err := compile(w, depth+1)
			if err != nil {
				return nil, err
			}
			blocks = append(blocks, block)
			continue
		case "if", "ifelse":
			if want := map[string]int{"if": 1, "ifelse": 2}[word]; len(blocks) != want {
				return nil, fmt.Errorf("%s stands behind %d blocks", word, len(blocks))
			}
			choice := instruction{op: word, yes: blocks[0]}
			if word == "ifelse" {
				choice.no = blocks[1]
			}
			program = append(program, choice)
			blocks = nil
			continue
		}
		if len(blocks) > 0 {
			return nil, errors.New("a block of the program is not used")
		}
		if operators[word] != nil {
			program = append(program, instruction{op: word})
			continue
		}
		v, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
			return nil, fmt.Errorf("the program has the unknown word %q", word)
		}
		program = append(program, instruction{number: v})
	}
}

// at runs the program; what it leaves undone or does wrong gives 0.
func (c calculator) at(in []float64) []float64 {
	s := &stack{values: append(make([]float64, 0, maxStack), in...)}
	s.run(c.program)
	out := make([]float64, c.out)
	if n := len(s.values); n >= c.out {
		copy(out, s.values[n-c.out:])
	} else {
		copy(out[c.out-n:], s.values)
	}
	return out
}
