package deskwalk

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// resident gives what a process holds of memory now, in megabytes.
func resident(t testing.TB, pid int) float64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`VmRSS:\s+(\d+) kB`).FindSubmatch(text)
	if m == nil {
		t.Fatalf("no memory in %s", text)
	}
	kb, _ := strconv.ParseFloat(string(m[1]), 64)
	return kb / 1024
}

// ticks gives the processor time of a process in seconds: user and system, in
// hundredths of a second (proc(5)).
func ticks(t testing.TB, pid int) float64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Fatal(err)
	}
	var user, system float64
	m := regexp.MustCompile(`\) \S (?:\S+ ){10}(\d+) (\d+)`).FindSubmatch(text)
	if m == nil {
		t.Fatalf("no times in %s", text)
	}
	user, _ = strconv.ParseFloat(string(m[1]), 64)
	system, _ = strconv.ParseFloat(string(m[2]), 64)
	return (user + system) / 100
}

// BenchmarkRatioDeskMemory opens 20 jobs with their pages, pictures and tools, and
// says what the desk and its worker hold, beside 300 MB; and what the first page of
// a folder with 1,000 jobs takes of the processor, beside a second.
func BenchmarkRatioDeskMemory(b *testing.B) {
	for b.Loop() {
		dir := samplesIn(b)
		text, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
		if err != nil {
			b.Fatal(err)
		}
		for i := range 1000 {
			put(b, filepath.Join(dir, fmt.Sprintf("job-%04d.yaml", i)), string(text))
		}
		d := openDesk(b, dir)
		get := func(path string) []byte {
			r, err := http.NewRequest(http.MethodGet, "http://"+d.host+path, nil)
			if err != nil {
				b.Fatal(err)
			}
			r.Header.Set("Accept", "text/html")
			answer, err := d.client.Do(r)
			if err != nil {
				b.Fatal(err)
			}
			defer answer.Body.Close()
			page, _ := io.ReadAll(answer.Body)
			if answer.StatusCode != http.StatusOK {
				b.Fatalf("%s: %d %.200s", path, answer.StatusCode, page)
			}
			return page
		}
		get("/jobs")
		first := ticks(b, d.cmd.Process.Pid) // all since it began, the first opening included
		for i := range 20 {
			page := get(fmt.Sprintf("/job/job-%04d.yaml", i))
			for _, m := range regexp.MustCompile(`/picture/[0-9a-f]+\.png`).FindAll(page, -1) {
				get(string(m))
			}
			get(fmt.Sprintf("/dies/job-%04d.yaml", i))
		}
		desk, all := resident(b, d.cmd.Process.Pid), 0.0
		children, _ := filepath.Glob("/proc/[0-9]*")
		for _, c := range children {
			pid, _ := strconv.Atoi(filepath.Base(c))
			stat, err := os.ReadFile(filepath.Join(c, "stat"))
			if m := regexp.MustCompile(`\) \S (\d+)`).FindSubmatch(stat); err == nil && m != nil && string(m[1]) == strconv.Itoa(d.cmd.Process.Pid) {
				all += resident(b, pid)
			}
		}
		b.ReportMetric(desk, "MB-desk")
		b.ReportMetric(all, "MB-workers")
		b.ReportMetric((desk+all)/300, "of-the-limit")
		b.ReportMetric(first, "s-cpu-first-1000")
		d.close()
	}
}
