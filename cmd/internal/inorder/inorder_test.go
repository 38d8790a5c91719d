package inorder

import (
	"slices"
	"sync/atomic"
	"testing"
	"time"
)

func TestResultsComeInTheOrderOfTheList(t *testing.T) {
	list := make([]int, 500)
	for i := range list {
		list[i] = i
	}
	var got []int
	for i, square := range Each(list, func(n int) int {
		if n%50 == 0 { // the first of each fifty takes longest
			time.Sleep(time.Millisecond)
		}
		return n * n
	}) {
		if square != i*i {
			t.Fatalf("item %d gives %d, want %d", i, square, i*i)
		}
		got = append(got, i)
	}
	if !slices.Equal(got, list) {
		t.Errorf("%d items came, want each of %d once", len(got), len(list))
	}
}

func TestWhoLeavesOffEarlyLeavesNothingBehind(t *testing.T) {
	var begun, ended atomic.Int64
	for range Each(make([]int, 100_000), func(int) int { begun.Add(1); defer ended.Add(1); time.Sleep(time.Microsecond); return 0 }) {
		break
	}
	if b, e := begun.Load(), ended.Load(); b != e || b == 100_000 {
		t.Errorf("%d begun and %d ended of 100000; want as many, and not all", b, e)
	}
}

func TestAnEmptyListGivesNothing(t *testing.T) {
	for range Each(nil, func(int) int { return 0 }) {
		t.Fatal("something came")
	}
}
