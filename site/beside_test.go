package site

import (
	"strings"
	"testing"
)

// A lesson beside the course has its page, and is found there. Nobody who
// learns, guides or visits is sent to it.
func TestBesideTheCourse(t *testing.T) {
	beside := strings.Replace(firstLesson, "revised =", "beside = true\nrevised =", 1)
	second := strings.Replace(secondLesson, "needs = [\"first\"]\n", "", 1)
	tree := treeOf(t, inputOf(t, [][2]string{{"first", beside}, {"second", second}, {"third", thirdLesson}}))
	for _, path := range []string{"handout/first.html", "handout/first-guide.html", "handout/first.large.html", "kiosk/first.html"} {
		if _, had := tree[path]; had {
			t.Errorf("there is a page %s", path)
		}
	}
	for _, path := range []string{"course/first/index.html", "course/first/values.json", "handout/third.html", "kiosk/third.html"} {
		if _, had := tree[path]; !had {
			t.Errorf("there is no page %s", path)
		}
	}
	const link = "What holds &lt;the&gt; speed"
	for path, want := range map[string]int{"course/index.html": 1, "course/sign-off.html": 0, "handout/index.html": 0, "course/third/index.html": 0} {
		if got := strings.Count(string(tree[path]), link); got != want {
			t.Errorf("%s names the lesson %d times, want %d", path, got, want)
		}
	}
	course := string(tree["course/index.html"])
	if strings.Index(course, link) < strings.Index(course, "Beside the course") || !strings.Contains(course, "Beside the course") {
		t.Error("the lesson stands in the course's own list")
	}
	if start := string(tree["index.html"]); !strings.Contains(start, "2 lessons to read") {
		t.Error("the start page counts the lesson")
	}
}
