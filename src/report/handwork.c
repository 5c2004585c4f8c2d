#include "skimcut/handwork.h"

#include "skimcut/job.h"
#include "skimcut/paper.h"
#include "skimcut/plan.h"
#include "skimcut/text.h"
#include "skimcut/weigh.h"

enum { SENTENCE = 1024 };

/* A turn that takes longer is told as a quarter of it; a hand keeps no slower time. */
static const double S_PER_TURN_MOST = 10;

typedef void sentence(const struct plan *plan, struct text *out);

static bool     say(sentence *const *sentences, size_t count, size_t index, const struct plan *plan, struct text *out);
static sentence tram_say, seat_say, edges_say, cutter_say, touch_say, start_say;
static sentence untouched_say, again_say;
static sentence position_say, knee_say, lock_say, pass_say, back_say;
static sentence still_say, hold_say, measure_say, onward_say, restart_say;
static void     feeler_say(struct text *out);
static void     hand_say(const struct plan *plan, const struct feeding *feeding, Speed vf, struct text *out);
static void     block_print(const char        *label, bool (*next)(const struct plan *, size_t, struct text *),
                            const struct plan *plan, struct text *out);
static void     knee_print(const struct plan *plan, struct text *out);
static void     across_print(const struct plan *plan, struct text *out);
static bool     is_zigzag(const struct plan *plan);
static const char  *handle_word(enum along along);
static const char  *axis_word(enum along along);
static const char  *slide_word(enum along along);
static const char  *across_word(const struct plan *plan, bool of_slide);
static struct shown back_off(const struct plan *plan);

static sentence *const BEFORE[]  = { tram_say, seat_say, edges_say, cutter_say, touch_say, start_say };
static sentence *const AGAIN[]   = { untouched_say, again_say, start_say };
static sentence *const BETWEEN[] = { position_say, knee_say, lock_say, pass_say, back_say };
static sentence *const STOP[]    = { still_say, hold_say, measure_say, onward_say, restart_say };

bool
handwork_wanted(const struct plan *plan)
{
	return job_is_manual(plan->job);
}

bool
handwork_before(const struct plan *plan, size_t index, struct text *out)
{
	if (plan->job->told.height > 0)
		return say(AGAIN, sizeof AGAIN / sizeof AGAIN[0], index, plan, out);
	return say(BEFORE, sizeof BEFORE / sizeof BEFORE[0], index, plan, out);
}

bool
handwork_between(const struct plan *plan, size_t index, struct text *out)
{
	return say(BETWEEN, sizeof BETWEEN / sizeof BETWEEN[0], index, plan, out);
}

bool
handwork_stop(const struct plan *plan, size_t index, struct text *out)
{
	return say(STOP, sizeof STOP / sizeof STOP[0], index, plan, out);
}

struct feeding
handwork_feeding(const struct plan *plan, bool skim)
{
	struct weights weights = weigh(plan);

	return weigh_feeding(plan, &weights, skim);
}

void
handwork_feed(const struct plan *plan, bool skim, struct text *out)
{
	Speed          vf      = skim ? plan->skim.vf : plan->rough.vf;
	struct feeding feeding = handwork_feeding(plan, skim);
	enum units     units   = plan->job->units;

	if (feeding.setting > 0) {
		text_format(out, "by power feed at its setting of %s", feed_show(feeding.setting, units).text);
		if (feeding.setting != vf)
			text_format(out, ", for the plan's %s", feed_show(vf, units).text);
		text_char(out, '.');
		return;
	}
	if (feeding.has_power)
		text_format(out, "the power feed has no setting near %s: ", feed_show(vf, units).text);
	hand_say(plan, &feeding, vf, out);
}

Length
handwork_up(const struct plan *plan, size_t cut)
{
	return plan->job->stock.height - plan->schedule.cuts[cut].floor;
}

struct reading
handwork_knee(const struct plan *plan, size_t cut)
{
	return dial_read(&plan->job->machine.dials.knee, handwork_up(plan, cut));
}

struct reading
handwork_across(const struct plan *plan, int64_t pass)
{
	const struct layout *layout = &plan->layout;
	struct pass          way    = layout_pass(layout, pass);
	Length from_zero            = layout->along == ALONG_X ? way.from.y - plan->zero.y : way.from.x - plan->zero.x;

	return dial_read(dial_across(&plan->job->machine, layout->along), from_zero);
}

/* What slides is the work: it goes the other way than the cutter over it. */
struct shown
handwork_across_show(const struct plan *plan, int64_t pass)
{
	static const char *const WAYS[2][2] = { { "saddle to the front", "saddle to the back" },
		                                { "table to the left", "table to the right" } };

	struct reading reading = handwork_across(plan, pass);
	struct shown   shown   = { "" };
	struct text    text    = text_over(shown.text, sizeof shown.text);

	text_string(&text, dial_show(&reading).text);
	if (reading.turns > 0 || reading.tenths > 0)
		text_format(&text, ", %s", WAYS[plan->layout.along == ALONG_Y][reading.back]);
	text_end(&text);
	return shown;
}

void
handwork_print(const struct plan *plan, struct text *out)
{
	char        buffer[SENTENCE];
	struct text feed = text_over(buffer, sizeof buffer);

	text_char(out, '\n');
	block_print("Before", handwork_before, plan, out);
	text_char(out, '\n');
	handwork_feed(plan, plan->schedule.count == 1, &feed);
	paper_paragraph(out, "Feed", "%s%s", plan->schedule.count > 1 ? "test and rough: " : "", text_end(&feed));
	feed = text_over(buffer, sizeof buffer);
	handwork_feed(plan, true, &feed);
	if (plan->schedule.count > 1)
		paper_paragraph(out, "", "skim: %s", text_end(&feed));
	if (plan->job->machine.dials.knee.per_turn > 0)
		knee_print(plan, out);
	if (dial_across(&plan->job->machine, plan->layout.along)->per_turn > 0)
		across_print(plan, out);
	text_char(out, '\n');
	block_print("Each pass", handwork_between, plan, out);
	if (plan_first_stop(plan) < plan->schedule.count)
		block_print("At a stop", handwork_stop, plan, out);
}

static bool
say(sentence *const *sentences, size_t count, size_t index, const struct plan *plan, struct text *out)
{
	if (index >= count)
		return false;
	sentences[index](plan, out);
	return true;
}

static void
tram_say(const struct plan *plan, struct text *out)
{
	const struct tram *tram  = &plan->job->machine.tram;
	enum units         units = plan->job->units;

	text_string(out, "The spindle square to the table: swing a dial indicator round by hand, over the table or the "
	                 "vise's bed");
	if (tram->over > 0)
		text_format(out, "; it was %s over %s", length_show(tram->error, units).text,
		            length_show(tram->over, units).text);
	text_string(out, ". Quill up and locked, and left so. Gibs snug.");
}

static void
seat_say(const struct plan *plan, struct text *out)
{
	if (plan->job->vise.bound.node && plan->hold.parallel > 0)
		text_format(
		    out,
		    "Vise bolted down, jaws and bed wiped clean, the part on the %s parallels and centred on the "
		    "screw; tighten, tap it down with a soft hammer until no parallel can be moved at any corner.",
		    length_show(plan->hold.parallel, plan->job->units).text);
	else if (plan->job->vise.bound.node)
		text_string(out, "Vise bolted down, jaws and bed wiped clean; tighten, tap the part down with a soft "
		                 "hammer until it sits on the bed without rocking.");
	else
		text_string(out, "The part down on a clean seat without rocking, and every clamp and nut tight.");
}

/* Backlash: both dials are set while they are turned the way they will be used. */
static void
edges_say(const struct plan *plan, struct text *out)
{
	const struct job *job    = plan->job;
	enum along        along  = plan->layout.along;
	bool              middle = job->zero.x == ZERO_CENTRE_X || job->zero.y == ZERO_CENTRE_Y;

	text_format(
	    out,
	    "X and Y: find %s and %s with an edge finder%s. Lower the knee until the finder is clear, come over the "
	    "%s zero once more with the %s going to the %s, the way it will go from pass to pass, and set the %s dial "
	    "to zero there; then the other. Spindle off and standing still, the finder out.",
	    job_phrase(ZERO_XS, (int)job->zero.x), job_phrase(ZERO_YS, (int)job->zero.y),
	    middle ? " (a middle is halfway between the readings at both edges)" : "", axis_word(along),
	    slide_word(along), across_word(plan, true), axis_word(along));
}

static void
cutter_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out,
	            "Spindle off: cutter in, drawbar tight. Turn it round by hand over the work: it clears jaws and "
	            "clamps all the way.");
}

static void
touch_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out, "Touch off on the stock's highest spot: ");
	feeler_say(out);
}

/* The edge is never driven against the work: the feeler's thickness is added when the work is out of the way. */
static void
feeler_say(struct text *out)
{
	text_string(
	    out,
	    "spindle off and standing still, the cutter's lowest edge turned over the spot, raise the knee until the "
	    "edge just nips a feeler of known thickness, and note the reading. Lower the knee, feeler out, "
	    "the work clear of the cutter; come up again to that reading and the feeler's thickness more, "
	    "and set the knee's dial to zero there.");
}

static void
untouched_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out,
	            "Part, vise and cutter stand as they did when the face was cut, and the other dials keep their "
	            "zeros. Whatever was moved is set up anew, as the first plan says.");
}

static void
again_say(const struct plan *plan, struct text *out)
{
	text_format(
	    out,
	    "Knee: the work clear of the cutter, bring it up to the reading that it had, on the plan used then, when "
	    "the measured face of %s was cut, and set its dial to zero there. Where that reading is lost, or the part "
	    "was seated anew, touch off on the face's highest spot: ",
	    length_figure(plan->job->stock.height, plan->job->units).text);
	feeler_say(out);
}

static void
start_say(const struct plan *plan, struct text *out)
{
	text_format(
	    out,
	    "Lower the knee by %s, take the work clear of the cutter beyond the start of pass 1, start the spindle "
	    "at %lld rpm, clockwise seen from above.",
	    back_off(plan).text, (long long)plan->rough.rpm);
}

static void
position_say(const struct plan *plan, struct text *out)
{
	enum along along = plan->layout.along;

	text_format(
	    out,
	    "The work clear of the cutter, beyond the start of the pass; %s unlocked. Bring the %s dial to the pass's "
	    "reading with the %s going to the %s (the cutter to the %s over the work), so that backlash does not "
	    "count; gone past, half a turn back and again.",
	    slide_word(along), axis_word(along), slide_word(along), across_word(plan, true), across_word(plan, false));
}

static void
knee_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out, "Knee unlocked, bring it up to the cut's reading, its turns counted, in air, and never down "
	                 "to it: gone past, lower "
	                 "it by half a turn and come up again.");
}

static void
lock_say(const struct plan *plan, struct text *out)
{
	text_format(out, "Lock knee and %s; the %s stays free.", slide_word(plan->layout.along),
	            handle_word(plan->layout.along));
}

static void
pass_say(const struct plan *plan, struct text *out)
{
	text_format(out,
	            "Feed evenly from air into air, and do not stop in the cut: a cutter that dwells leaves a mark.%s "
	            "Chatter, smoke or a labouring motor: feed out, stop, ask why.",
	            handwork_feeding(plan, false).setting > 0 || handwork_feeding(plan, true).setting > 0
	                ? " The power feed's stops are set, and a hand is on its lever."
	                : "");
}

static void
back_say(const struct plan *plan, struct text *out)
{
	if (is_zigzag(plan))
		text_format(
		    out,
		    "Beyond the end step over in air to the next pass, at the same knee reading. After the last pass "
		    "unlock the knee and lower it by %s before you go back over the work; then the stop, or the next "
		    "cut's reading.",
		    back_off(plan).text);
	else
		text_format(
		    out,
		    "Beyond the end back off: unlock the knee and lower it by %s before you go back over the work. "
		    "%s the stop, or the next cut's reading.",
		    back_off(plan).text, plan->layout.passes > 1 ? "Then the next pass; after the last," : "Then");
}

static void
still_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out,
	            "Spindle off, and wait until it STANDS STILL: no hand goes near before. The work well away from "
	            "the cutter.");
}

static void
hold_say(const struct plan *plan, struct text *out)
{
	bool parallels = plan->job->vise.bound.node && plan->hold.parallel > 0;

	text_format(
	    out,
	    "Brush the chips off. %s If not, the part has moved: seat it, and none of these readings holds any more; "
	    "measure its highest spot and plan anew with --measured.",
	    parallels ? "Try the parallels: are they still tight at all corners?"
		      : "Try the part: does it sit as tight as before?");
}

static void
measure_say(const struct plan *plan, struct text *out)
{
	(void)plan;
	text_string(out,
	            "Off with the burr. Measure four corners and the middle and write the heights down: the highest "
	            "counts. The plan says what to expect and how much is left.");
}

static void
onward_say(const struct plan *plan, struct text *out)
{
	text_format(
	    out,
	    "The highest less %s is what the knee still has to rise in all, counted from the reading of this cut. If "
	    "that is not as planned, plan anew with --measured and the highest.",
	    length_figure(plan->final, plan->job->units).text);
}

static void
restart_say(const struct plan *plan, struct text *out)
{
	text_format(
	    out,
	    "To go on: the knee %s below the reading of this cut, the work clear of the cutter beyond the start of "
	    "pass 1, nobody near, and only then the spindle on.",
	    back_off(plan).text);
}

static void
hand_say(const struct plan *plan, const struct feeding *feeding, Speed vf, struct text *out)
{
	const char *handle = handle_word(plan->layout.along);

	if (feeding->turns_min <= 0)
		text_format(out, "by hand at %s; the dial of the %s is not told, so neither is how fast to turn it.",
		            feed_show(vf, plan->job->units).text, handle);
	else if (feeding->too_fast)
		text_format(out, "by hand it would be %.0f turns of the %s a minute, faster than a hand turns evenly.",
		            feeding->turns_min, handle);
	else if (feeding->s_per_turn > S_PER_TURN_MOST)
		text_format(out, "by hand, a quarter turn of the %s every %.1f s, %.*f turns a minute.", handle,
		            feeding->s_per_turn / 4, feeding->turns_min < 1 ? 2 : 1, feeding->turns_min);
	else
		text_format(out, "by hand, one turn of the %s every %.1f s, %.*f a minute.", handle,
		            feeding->s_per_turn, feeding->turns_min < 10, feeding->turns_min);
}

/* Numbered, because the order matters. */
static void
block_print(const char *label, bool (*next)(const struct plan *, size_t, struct text *), const struct plan *plan,
            struct text *out)
{
	char        buffer[SENTENCE];
	struct text words = text_over(buffer, sizeof buffer);

	for (size_t i = 0; next(plan, i, &words); i++) {
		paper_paragraph(out, i == 0 ? label : "", "%zu. %s", i + 1, text_end(&words));
		words = text_over(buffer, sizeof buffer);
	}
}

/* Every row: whoever stands at a handle cannot reckon those between. */
static void
knee_print(const struct plan *plan, struct text *out)
{
	const struct dial *knee  = &plan->job->machine.dials.knee;
	enum units         units = plan->job->units;

	text_format(out, "\nKnee dial, up from the touch-off zero (%s a turn, %s a line)\n",
	            length_show(knee->per_turn, units).text, length_show(knee->graduation, units).text);
	text_format(out, "%6s%12s    %s\n", "cut", "knee up", "reading");
	for (size_t i = 0; i < plan->schedule.count; i++) {
		struct reading reading = handwork_knee(plan, i);

		text_format(out, "%6zu%12s    %s\n", i + 1, length_figure(handwork_up(plan, i), units).text,
		            dial_show(&reading).text);
	}
}

static void
across_print(const struct plan *plan, struct text *out)
{
	const struct dial *dial  = dial_across(&plan->job->machine, plan->layout.along);
	enum units         units = plan->job->units;

	text_format(out, "\n%s dial, zero edge to cutter's centre (%s a turn, %s a line)\n",
	            axis_word(plan->layout.along), length_show(dial->per_turn, units).text,
	            length_show(dial->graduation, units).text);
	text_format(out, "%6s    %s\n", "pass", "reading");
	for (int64_t i = 0; i < plan->layout.passes; i++)
		text_format(out, "%6lld    %s\n", (long long)i + 1, handwork_across_show(plan, i).text);
}

static bool
is_zigzag(const struct plan *plan)
{
	return plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1;
}

/* That feeds. */
static const char *
handle_word(enum along along)
{
	return along == ALONG_X ? "table handle" : "saddle handle";
}

/* Across the passes: the dial, and what it moves. */
static const char *
axis_word(enum along along)
{
	return along == ALONG_X ? "Y" : "X";
}

static const char *
slide_word(enum along along)
{
	return along == ALONG_X ? "saddle" : "table";
}

/* From pass to pass: the way the cutter goes over the work, or the opposite way, in which the work slides. */
static const char *
across_word(const struct plan *plan, bool of_slide)
{
	bool on = (plan->layout.side > 0) != of_slide;

	if (plan->layout.along == ALONG_X)
		return on ? "back" : "front";
	return on ? "right" : "left";
}

/* Never a whole number of turns: a knee that was not lowered would read as one that was. */
static struct shown
back_off(const struct plan *plan)
{
	Length       turn = plan->job->machine.dials.knee.per_turn, clearance = plan->job->cut.clearance;
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);

	if (turn > 0)
		text_format(&text, "%lld-1/2 turns", (long long)(length_up(clearance, turn) / turn));
	else
		text_string(&text, length_show(clearance, plan->job->units).text);
	text_end(&text);
	return shown;
}
