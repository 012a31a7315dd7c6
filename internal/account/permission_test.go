package account_test

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/account"
)

// policy is the whole policy: a row for each action, a column for each viewer. The subject is
// hike 7, posted and today, staffed by accounts 5 and 2, and place 41 on it. The marks are +
// for allowed, s for asked to sign in, and . for not allowed.
const policy = `
                              anon norole leader staff coord trainer gone place place7 day day41 oncall safety watch
see the calendar              +    +      +      +     +     +       +    +     +          +   +         +      +      +
see a trail                   +    +      +      +     +     +       +    +     +          +   +         +      +      +
see the notice of a hike      +    +      +      +     +     +       +    +     +          +   +         +      +      +
sign up for a hike            +    +      +      +     +     +       +    +     +          +   +         +      +      +
see a place on a hike         s    .      .      +     +     .       s    +     s          s   s         .      .      s
withdraw from a hike          s    .      .      +     +     .       s    +     s          s   s         .      .      s
write one's own medical card  s    .      .      .     .     .       s    +     s          s   s         .      .      s
ask to open a medical card    s    +      +      +     +     +       s    s     s          s   s         +      +      s
see who opened medical cards  s    .      .      .     +     .       s    s     s          s   s         .      +      s
see what is kept of oneself   s    .      .      .     .     .       s    +     s          s   s         .      .      s
see and hold what is kept     s    .      .      .     +     .       s    s     s          s   s         .      +      s
manage trails                 s    .      +      +     +     .       s    s     s          s   s         .      .      s
schedule a hike               s    .      +      +     +     .       s    s     s          s   s         .      .      s
see the plan of a hike        s    .      +      +     +     .       s    s     s          s   s         .      +      s
see the board                 s    .      +      +     +     .       s    s     s          s   s         +      +      s
see the watch of a hike       s    .      +      +     +     .       s    s     s          s   s         +      +      +
keep the watch of a hike      s    .      +      +     +     .       s    s     s          s   s         +      +      +
manage a hike                 s    .      .      +     +     .       s    s     s          s   s         .      .      s
manage the sign-ups of a hike s    .      .      +     +     .       s    s     s          s   s         .      .      s
save sign-ups as a file       s    .      .      +     +     .       s    s     s          s   s         .      .      s
see the trip sheet of a hike  s    .      .      +     +     .       s    s     s          +   s         .      +      s
take the roll of a hike       s    .      .      +     +     .       s    s     s          +   s         .      .      s
answer when asked             s    +      +      +     +     +       s    s     s          s   s         +      +      s
see one's own account         s    +      +      +     +     +       s    s     s          s   s         +      +      s
see the records of staff      s    .      .      .     +     +       s    s     s          s   s         .      .      s
note an observed hike         s    .      .      .     +     +       s    s     s          s   s         .      .      s
manage the records of staff   s    .      .      .     +     .       s    s     s          s   s         .      .      s
see the gaps in staffing      s    .      .      .     +     .       s    s     s          s   s         .      .      s
manage people                 s    .      .      .     +     .       s    s     s          s   s         .      .      s
manage the rules of the house s    .      .      .     +     .       s    s     s          s   s         .      .      s
see the outbox                s    .      .      .     +     .       s    s     s          s   s         .      .      s
`

func person(id account.ID, roles ...account.Role) account.Viewer {
	return account.SignedIn(account.Account{ID: id, Roles: roles, Active: true})
}

func viewers() map[string]account.Viewer {
	return map[string]account.Viewer{
		"anon":    account.Anonymous(),
		"norole":  person(2), // staffs the hike, but without the role
		"leader":  person(1, account.Leader),
		"staff":   person(2, account.Leader),
		"coord":   person(3, account.Coordinator),
		"trainer": person(4, account.Trainer),
		"gone": account.SignedIn(account.Account{ID: 2,
			Roles: []account.Role{account.Coordinator, account.Leader}}),
		"place":  account.Anonymous().WithLink(account.Link{Target: account.PlaceTarget("41")}),
		"place7": account.Anonymous().WithLink(account.Link{Target: account.PlaceTarget("7")}),
		"day":    account.Anonymous().WithLink(account.Link{Target: account.DayTarget(7)}),
		"oncall": person(6, account.OnCall),
		"safety": person(7, account.Safety),
		"watch":  account.Anonymous().WithLink(account.Link{Target: account.DayWatchTarget(7)}),
		"day41":  account.Anonymous().WithLink(account.Link{Target: account.DayTarget(41)}),
	}
}

func answer(v account.Viewer, a account.Action, on account.Subject) string {
	switch err := account.May(v, a, on); {
	case err == nil:
		return "+"
	case errors.Is(err, account.ErrSignIn):
		return "s"
	case errors.Is(err, account.ErrNotAllowed):
		return "."
	default:
		return err.Error()
	}
}

func TestPolicy(t *testing.T) {
	on := account.Subject{Hike: 7, Place: "41", Posted: true, Today: true, Staff: []account.ID{5, 2}}
	lines := strings.Split(strings.Trim(policy, "\n"), "\n")
	columns := strings.Fields(lines[0])
	var rows []account.Action
	for _, line := range lines[1:] {
		action := account.Action(strings.TrimSpace(line[:30]))
		rows = append(rows, action)
		for i, want := range strings.Fields(line[30:]) {
			t.Run(string(action)+" by "+columns[i], func(t *testing.T) {
				if got := answer(viewers()[columns[i]], action, on); got != want {
					t.Errorf("May = %q, want %q", got, want)
				}
			})
		}
	}
	if diff := cmp.Diff(declaredActions(t), rows); diff != "" {
		t.Errorf("actions of the source and rows of the table (-source +table):\n%s", diff)
	}
}

// declaredActions reads the actions from the source in their order, so that none is missing
// from the table.
func declaredActions(t *testing.T) []account.Action {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "permission.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var actions []account.Action
	ast.Inspect(file, func(n ast.Node) bool {
		spec, is := n.(*ast.ValueSpec)
		if !is || len(spec.Values) != 1 {
			return true
		}
		if kind, is := spec.Type.(*ast.Ident); !is || kind.Name != "Action" {
			return true
		}
		text, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		if err != nil {
			t.Fatal(err)
		}
		actions = append(actions, account.Action(text))
		return true
	})
	return actions
}

func TestMayOnSubject(t *testing.T) {
	day := account.Link{Target: account.DayTarget(7)}
	tests := []struct {
		name string
		who  account.Viewer
		do   account.Action
		on   account.Subject
		want string
	}{
		{"draft, anonymous", account.Anonymous(), account.SeeNotice, account.Subject{Hike: 7}, "s"},
		{"draft, sign-up", person(9), account.SignUp, account.Subject{Hike: 7}, "."},
		{"draft, leader", person(1, account.Leader), account.SeeNotice, account.Subject{Hike: 7}, "+"},
		{"hike without staff", person(1, account.Leader), account.ManageHike, account.Subject{Hike: 7},
			"."},
		{"leader without an id, staff without one",
			account.SignedIn(account.Account{Roles: []account.Role{account.Leader}, Active: true}),
			account.TakeRoll, account.Subject{Staff: []account.ID{0}}, "s"},
		{"empty link, empty place",
			account.Anonymous().WithLink(account.Link{Target: account.PlaceTarget("")}),
			account.SeePlace, account.Subject{}, "s"},
		{"leader with a day link takes the roll", person(1, account.Leader).WithLink(day), account.TakeRoll,
			account.Subject{Hike: 7}, "+"},
		{"leader with a day link manages", person(1, account.Leader).WithLink(day), account.ManageHike,
			account.Subject{Hike: 7}, "."},
		{"on-call reads a watch on another day", person(6, account.OnCall), account.SeeWatch,
			account.Subject{Hike: 7, Posted: true}, "."},
		{"on-call link, no hike",
			account.Anonymous().WithLink(account.Link{Target: account.DayWatchTarget(7)}),
			account.KeepWatch, account.Subject{}, "s"},
		{"unknown role", person(1, "ranger"), account.SeeBoard, account.Subject{}, "."},
		{"unknown action, coordinator", person(3, account.Coordinator), "see everything",
			account.Subject{}, "."},
		{"unknown action, anonymous", account.Anonymous(), "", account.Subject{}, "s"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := answer(tt.who, tt.do, tt.on); got != tt.want {
				t.Errorf("May = %q, want %q", got, tt.want)
			}
		})
	}
}

func TestRefusalNamesTheAction(t *testing.T) {
	err := account.May(account.Anonymous(), account.ManagePeople, account.Subject{})
	if want := "manage people: sign in first"; err == nil || err.Error() != want {
		t.Errorf("May = %v, want %q", err, want)
	}
}
