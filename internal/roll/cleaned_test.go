package roll_test

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/party"
	"saltbush/internal/ref"
	"saltbush/internal/roll"
)

// dirty adds characters to a text that a phone's keyboard, or an attacker, may add.
func dirty(s string) string { return " \u202e" + s + "\x00\u200b\t" }

// split returns a split with a text in every field.
func split() party.Event {
	e := full(party.KindSplit)
	e.SeenBy, e.Contact = "Kit Example", "Teo Example, 555 0101 111"
	e.Against, e.Plates = []string{"nobody on call"}, []string{"ABC 123"}
	e.Parties[1].Meet = "Saddle"
	return e
}

func dirtyEvent() party.Event {
	e := split()
	for _, s := range []*string{&e.Device, &e.Name, &e.Party, &e.Place, &e.To, &e.Note, &e.Contact, &e.SeenBy} {
		*s = dirty(*s)
	}
	e.Against[0], e.Plates[0] = dirty(e.Against[0]), dirty(e.Plates[0])
	e.Note += "\r\nsecond line"
	for i := range e.Parties {
		e.Parties[i].Name, e.Parties[i].Meet = dirty(e.Parties[i].Name), dirty(e.Parties[i].Meet)
	}
	return e
}

func TestCleanedEventSaysTheSame(t *testing.T) {
	given := dirtyEvent()
	got := roll.Clean(given)
	want := split()
	want.Note += "\t\nsecond line"
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("cleaned (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(got, roll.Clean(got)); diff != "" {
		t.Errorf("cleaned again (-once +twice):\n%s", diff)
	}
	if diff := cmp.Diff(dirtyEvent(), given); diff != "" {
		t.Errorf("the event given has changed:\n%s", diff)
	}
}

// keeper is a roll.Store that keeps the events of the last Append.
type keeper struct{ rec roll.Record }

func (k *keeper) Record(context.Context, ref.Hike) (roll.Record, error) { return k.rec, nil }

func (k *keeper) Append(
	_ context.Context, _ ref.Hike, events []party.Event, _ time.Time, rules ...roll.Rule,
) (roll.Record, error) {
	kept, err := k.rec.Keep(events, rules)
	k.rec.Events = append(k.rec.Events, kept...)
	return k.rec, err
}

func (k *keeper) Watched(context.Context) ([]roll.Watched, error) { return nil, nil }

// An event from a phone is never lost because of an invisible character.
func TestReceiveCleansWhatPhonesSend(t *testing.T) {
	raw, err := json.Marshal(dirtyEvent())
	if err != nil {
		t.Fatal(err)
	}
	k := &keeper{}
	batch := roll.Batch{SentAt: clock(90), Events: []json.RawMessage{raw}}
	receipt, err := roll.Receive(context.Background(), k, 1, batch, "Walker 01", clock(90))
	if err != nil || len(receipt.Kept) != 1 || len(receipt.Refused) != 0 {
		t.Fatalf("receipt %+v, %v", receipt, err)
	}
	if got := k.rec.Events[0]; got.Place != "Wash" || got.Name != "Pat Example" || got.Parties[1].Name != "slow" {
		t.Errorf("kept %+v", got)
	}
}
