#include "skimcut/intake.h"

#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/job.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"
#include "skimcut/yaml.h"

static const struct node *tree_read(struct source *source, const struct library *library, struct arena *arena,
                                    struct diag *diag);
static enum units         units_peek(const struct node *root);
static const struct node *shop_merge(const struct node *job, const struct library *library, struct arena *arena,
                                     struct diag *diag);
static void               material_find(struct job *job, struct diag *diag);
static void               own_force_find(struct job *job);
static void               cutter_find(struct job *job, struct diag *diag);
static void               cutter_unknown(const struct job *job, const char *name, struct diag *diag);
static void               cutter_check(struct cutter *cutter, struct diag *diag);
static void               heights_check(const struct job *job, struct diag *diag);
static void               cuts_check(struct job *job, struct diag *diag);
static void               pattern_check(struct job *job, struct diag *diag);
static void               vise_check(const struct job *job, struct diag *diag);
static void               spindle_check(const struct spindle *spindle, struct diag *diag);
static void               clamps_check(const struct named *clamps, struct diag *diag);
static void               dials_check(const struct dials *dials, struct diag *diag);

bool
intake_read(struct source *source, const struct library *library, struct arena *arena, struct job *job,
            struct diag *diag)
{
	const struct node *root = tree_read(source, library, arena, diag);

	*job = (struct job){ 0 };
	if (!root)
		return false;
	schema_bind(job_mapping(), root, root->place, source->units, job, arena, diag);
	if (diag->errors > 0 || diag->no_memory)
		return false;
	material_find(job, diag);
	cutter_find(job, diag);
	heights_check(job, diag);
	cuts_check(job, diag);
	pattern_check(job, diag);
	spindle_check(&job->machine.spindle, diag);
	vise_check(job, diag);
	clamps_check(&job->hold.clamps, diag);
	dials_check(&job->machine.dials, diag);
	return diag->errors == 0 && !diag->no_memory;
}

static const struct node *
tree_read(struct source *source, const struct library *library, struct arena *arena, struct diag *diag)
{
	const struct node *root = yaml_parse(source, arena, diag);

	if (!root) {
		if (strspn(source->text, " \t\r\n") == source->length)
			diag_add(diag, SEVERITY_NOTE, (struct place){ .source = source },
			         "'skimcut new' prints a job to start from");
		return NULL;
	}
	source->units = units_peek(root);
	if (source->units == UNITS_NONE) /* said when it is bound; until then no more errors than there are */
		source->units = UNITS_MM;
	return node_find(root, "shop") ? shop_merge(root, library, arena, diag) : root;
}

/* Bare numbers need the file's units before anything is bound. What is wrong with the key is said when it is bound. */
static enum units
units_peek(const struct node *root)
{
	const struct entry *entry = node_find(root, "units");

	if (!entry || entry->value->kind != NODE_SCALAR)
		return UNITS_NONE;
	for (const struct choice *choice = UNITS_WORDS; choice->word; choice++)
		if (strcmp(choice->word, entry->value->text) == 0)
			return (enum units)choice->value;
	return UNITS_NONE;
}

static const struct node *
shop_merge(const struct node *job, const struct library *library, struct arena *arena, struct diag *diag)
{
	const struct entry  *entry = node_find(job, "shop");
	const struct source *opened;
	const struct node   *shop, *merged;
	struct source       *source;

	if (entry->value->kind != NODE_SCALAR)
		return job;
	if (entry->value->text[0] == '\0') {
		diag_add(diag, SEVERITY_ERROR, entry->place, "'shop' has no value");
		return NULL;
	}
	opened = library->open(library->context, entry->value->text, entry->value->place, arena, diag);
	source = opened ? arena_take(arena, sizeof *source) : NULL;
	if (!source) {
		if (opened)
			diag_no_memory(diag);
		return NULL;
	}
	*source = *opened;
	shop    = yaml_parse(source, arena, diag);
	if (!shop)
		return NULL;
	source->units = units_peek(shop);
	if (shop->kind != NODE_MAPPING || source->units == UNITS_NONE) {
		diag_add(diag, SEVERITY_ERROR, shop->place,
		         "a shop's file begins with its own 'units: inch' or 'units: mm'");
		return NULL;
	}
	if (node_find(shop, "shop")) {
		diag_add(diag, SEVERITY_ERROR, node_find(shop, "shop")->place,
		         "a shop's file cannot name another shop");
		return NULL;
	}
	if (!node_find(job, "units")) {
		diag_add(diag, SEVERITY_ERROR, job->place, "the job has no 'units' of its own");
		return NULL;
	}
	merged = node_merge(job, shop, arena);
	if (!merged)
		diag_no_memory(diag);
	return merged;
}

static void
material_find(struct job *job, struct diag *diag)
{
	const struct own_material *own   = &job->own_material;
	const char                *name  = own->bound.name;
	struct guess               guess = guess_for(name ? name : "");

	if (!name) {
		struct starting starting = { own->cutting_speed, own->feed_per_tooth, own->coolant };

		job->material = (struct material){ .name  = own->name,
			                           .group = (char)own->group,
			                           .with  = { starting, starting } };
		own_force_find(job);
		return;
	}
	for (size_t i = 0; i < materials_count(); i++) {
		job->material = materials_at(i);
		if (strcmp(job->material.name, name) == 0)
			return;
		guess_offer(&guess, job->material.name);
	}
	if (guess.best)
		diag_add(diag, SEVERITY_ERROR, own->bound.place, "there is no material '%.40s'; did you mean '%s'?",
		         name, guess.best);
	else
		diag_add(
		    diag, SEVERITY_ERROR, own->bound.place,
		    "there is no material '%.40s'; 'skimcut list materials' shows them, or give figures of your own",
		    name);
}

/* What is not told is that of the heaviest material of the group. */
static void
own_force_find(struct job *job)
{
	const struct own_material *own      = &job->own_material;
	struct material           *material = &job->material;

	for (size_t i = 0; i < materials_count(); i++) {
		struct material known = materials_at(i);

		if (known.group == material->group && known.kc11_n_mm2 > material->kc11_n_mm2) {
			material->kc11_n_mm2 = known.kc11_n_mm2;
			material->mc         = known.mc;
		}
	}
	if (own->kc11_factor > 0)
		material->kc11_n_mm2 = (double)own->kc11_factor / RATIO_ONE;
	if (own->mc_factor > 0)
		material->mc = (double)own->mc_factor / RATIO_ONE;
}

static void
cutter_find(struct job *job, struct diag *diag)
{
	struct cutter *shop  = job->cutters.items;
	struct guess   guess = guess_for(job->cutter.bound.name ? job->cutter.bound.name : "");

	for (size_t i = 0; i < job->cutters.count; i++)
		cutter_check(&shop[i], diag);
	if (job->cutter.bound.node) {
		job->cutter.bound.name = "cutter";
		cutter_check(&job->cutter, diag);
		return;
	}
	if (!job->cutter.bound.name) {
		job->choose_cutter = true;
		if (job->cutters.count == 0)
			diag_add(diag, SEVERITY_ERROR, job->bound.place,
			         "there is no cutter; describe one under 'cutter'");
		return;
	}
	for (size_t i = 0; i < job->cutters.count; i++) {
		if (strcmp(shop[i].bound.name, guess.word) == 0) {
			job->cutter = shop[i];
			return;
		}
		guess_offer(&guess, shop[i].bound.name);
	}
	if (guess.best)
		diag_add(diag, SEVERITY_ERROR, job->cutter.bound.place,
		         "the shop has no cutter '%.40s'; did you mean '%s'?", guess.word, guess.best);
	else
		cutter_unknown(job, guess.word, diag);
}

static void
cutter_unknown(const struct job *job, const char *name, struct diag *diag)
{
	const struct cutter *shop = job->cutters.items;
	char                 buffer[400];
	struct text          names = text_over(buffer, sizeof buffer);

	for (size_t i = 0; i < job->cutters.count && names.length < 300; i++)
		text_format(&names, "%s%.60s", i > 0 ? ", " : "", shop[i].bound.name);
	if (job->cutters.count > 0)
		diag_add(diag, SEVERITY_ERROR, job->cutter.bound.place, "there is no cutter '%.40s' among: %s", name,
		         text_end(&names));
	else
		diag_add(diag, SEVERITY_ERROR, job->cutter.bound.place,
		         "there is no cutter '%.40s', nor any 'cutters'; describe it: {kind: ..., diameter: ..., "
		         "teeth: ..., edge: ...}",
		         name);
}

static void
cutter_check(struct cutter *cutter, struct diag *diag)
{
	if (cutter->teeth == 0 && cutter->kind == CUTTER_FLY_CUTTER)
		cutter->teeth = 1;
	if (cutter->teeth == 0)
		diag_add(diag, SEVERITY_ERROR, cutter->bound.place, "the cutter has no 'teeth' (how many edges cut)");
	if (cutter->kind == CUTTER_END_MILL && !schema_given(&cutter->bound, "nose_radius"))
		cutter->nose_radius = 0;
	if (cutter->nose_radius * 4 > cutter->diameter) {
		if (schema_given(&cutter->bound, "nose_radius"))
			diag_add(diag, SEVERITY_ERROR, schema_place(&cutter->bound, "nose_radius"),
			         "a nose radius of over a quarter of the diameter leaves no flat face");
		cutter->nose_radius = cutter->diameter / 4;
	}
}

static void
heights_check(const struct job *job, struct diag *diag)
{
	struct place place = schema_place(&job->bound, "finished_height");

	if (job->finished_height > job->stock.height)
		diag_add(diag, SEVERITY_ERROR, place, "the finished height is above the stock, which is %s high",
		         length_show(job->stock.height, job->units).text);
	else if (job->finished_height == job->stock.height)
		diag_add(diag, SEVERITY_ERROR, place,
		         "the stock is at its finished height already: there is nothing to cut");
}

/* What the job says itself must agree; a default gives way. */
static void
cuts_check(struct job *job, struct diag *diag)
{
	struct settings *cut = &job->cut;

	if (cut->skim > cut->rough) {
		if (schema_given(&cut->bound, "skim"))
			diag_add(diag, SEVERITY_ERROR, schema_place(&cut->bound, "skim"),
			         "the skim is deeper than a roughing cut, which is %s at the most",
			         length_show(cut->rough, job->units).text);
		cut->skim = cut->rough;
	}
	if (cut->test_cut > cut->rough) {
		if (schema_given(&cut->bound, "test_cut"))
			diag_add(diag, SEVERITY_ERROR, schema_place(&cut->bound, "test_cut"),
			         "the test cut is deeper than a roughing cut, which is %s at the most",
			         length_show(cut->rough, job->units).text);
		cut->test_cut = cut->rough;
	}
	if (cut->retract < cut->clearance)
		diag_add(diag, SEVERITY_ERROR,
		         schema_place(&cut->bound, schema_given(&cut->bound, "retract") ? "retract" : "clearance"),
		         "the retract height is less than the clearance");
}

static void
pattern_check(struct job *job, struct diag *diag)
{
	struct settings *cut = &job->cut;

	if (cut->pattern != PATTERN_ZIGZAG || cut->milling == MILLING_EITHER)
		return;
	if (schema_given(&cut->bound, "milling"))
		diag_add(diag, SEVERITY_ERROR, schema_place(&cut->bound, "milling"),
		         "a zigzag cuts conventional and climb in turn; use 'milling: either', or 'pattern: one-way'");
	cut->milling = MILLING_EITHER;
}

static void
spindle_check(const struct spindle *spindle, struct diag *diag)
{
	if (spindle->max_rpm > 0 && spindle->min_rpm > spindle->max_rpm)
		diag_add(diag, SEVERITY_ERROR, schema_place(&spindle->bound, "min"),
		         "the slowest speed is above the fastest");
	for (size_t i = 0; i < spindle->speeds.count; i++) {
		int64_t speed = spindle->speeds.values[i];

		if (speed < spindle->min_rpm || (spindle->max_rpm > 0 && speed > spindle->max_rpm))
			diag_add(diag, SEVERITY_ERROR, schema_place(&spindle->bound, "speeds"),
			         "%lld rpm is outside the spindle's slowest and fastest speed", (long long)speed);
	}
}

static void
clamps_check(const struct named *clamps, struct diag *diag)
{
	const struct clamp *clamp = clamps->items;

	if (clamps->count > CLAMPS_MAX)
		diag_add(diag, SEVERITY_ERROR, clamp[CLAMPS_MAX].bound.place, "there are %zu clamps; %d are the most",
		         clamps->count, CLAMPS_MAX);
}

static void
vise_check(const struct job *job, struct diag *diag)
{
	const struct vise *vise = &job->vise;
	Length             off  = vise->offset < 0 ? -vise->offset : vise->offset;

	if (vise->bound.node && 2 * off >= vise->jaw_width)
		diag_add(diag, SEVERITY_ERROR, schema_place(&vise->bound, "offset"),
		         "the part's middle is not between the jaws, which end %s from the screw; move it nearer to "
		         "the screw",
		         length_show(vise->jaw_width / 2, job->units).text);
}

static void
dials_check(const struct dials *dials, struct diag *diag)
{
	const struct dial *all[] = { &dials->x, &dials->y, &dials->knee };

	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		if (all[i]->per_turn > 0 && all[i]->per_turn % all[i]->graduation != 0)
			diag_add(diag, SEVERITY_ERROR, schema_place(&all[i]->bound, "graduation"),
			         "a turn is not a whole number of graduations");
}
