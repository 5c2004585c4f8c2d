/*
 * job - what is wanted, as the job's file and its shop's file say it.
 *
 * After intake_read every value is inside its limits, defaults are filled in, names are looked up, and no two values of the job
 * contradict one another. What a plan decides is not here.
 */
#ifndef SKIMCUT_JOB_H
#define SKIMCUT_JOB_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/materials.h"
#include "skimcut/schema.h"
#include "skimcut/step.h"

/* Lengths are > 0 where they are given; 0 says that one was not, where a comment says so. */

struct stock {
	struct bound bound;
	Length       length, width, height; /* along X, Y, Z; the height is that of the highest spot */
};

enum cutter_kind { CUTTER_SHELL_MILL, CUTTER_FACE_MILL, CUTTER_END_MILL, CUTTER_FLY_CUTTER };

struct cutter {
	struct bound     bound; /* bound.name is the cutter's in the shop, or "cutter" */
	enum cutter_kind kind;
	Length           diameter; /* of the circle that the edges cut at the face */
	int64_t          teeth;
	int64_t          entering_angle_udeg; /* kappa_r */
	Length           nose_radius;
	enum edge        edge;
	Length           max_depth;    /* 0: not said */
	Length           flute_length; /* 0: not said */
	Length           flat;         /* of the edges at the face, that wipes; 0: none */
	int64_t          number;       /* of the tool in the machine */
};

enum pattern { PATTERN_AUTO, PATTERN_SINGLE, PATTERN_ZIGZAG, PATTERN_ONE_WAY };
enum milling { MILLING_CONVENTIONAL, MILLING_CLIMB, MILLING_EITHER };
enum along { ALONG_AUTO, ALONG_X, ALONG_Y };
enum measure { MEASURE_TEST, MEASURE_SKIM };
enum levels { LEVELS_EQUAL, LEVELS_ANY };

struct settings {
	struct bound bound;
	enum pattern pattern;
	enum milling milling;        /* EITHER when left out beside a zigzag pattern */
	int64_t      stepover_ratio; /* of the diameter, in millionths */
	enum along   along;
	Length       test_cut; /* 0: none */
	Length       rough, skim;
	unsigned     measure; /* 1 << enum measure */
	enum levels  levels;  /* what a proof asks of a program; a plan's are always equal */
	Length       clearance, retract;
	Speed        cutting_speed;       /* 0: the material's */
	Length       feed_per_tooth;      /* 0: the material's */
	Length       skim_feed_per_tooth; /* 0: the plan takes about half the roughing feed */
	enum coolant coolant;             /* only when schema_given; otherwise the material's */
};

enum zero_x { ZERO_LEFT, ZERO_CENTRE_X, ZERO_RIGHT };
enum zero_y { ZERO_FRONT, ZERO_CENTRE_Y, ZERO_BACK };
enum zero_z { ZERO_FINISHED, ZERO_TOP, ZERO_BOTTOM };

struct zero {
	struct bound bound;
	enum zero_x  x;
	enum zero_y  y;
	enum zero_z  z;
};

struct program {
	struct bound bound;
	const char  *post;        /* a dialect's name or file */
	int64_t      number;      /* 0: none */
	int          work_offset; /* 54 to 59 */
};

enum machine_kind { MACHINE_MANUAL, MACHINE_CNC };

struct spindle {
	struct bound   bound;
	int64_t        min_rpm, max_rpm; /* max 0: not said */
	struct numbers speeds;           /* of a belt or gear machine; none: stepless */
	int64_t        power_mw;         /* 0: not said */
	int64_t        efficiency_ratio;
	int64_t        base_rpm; /* below it the torque is constant; 0: the power is there at every speed */
};

struct feeds {
	struct bound bound;
	Speed        max, rapid; /* 0: not said */
};

struct travel {
	struct bound bound;
	Length       x, y, z; /* 0: not said */
};

/* A dial swept round on the table reads `error` between the ends of `over`. */
struct tram {
	struct bound bound;
	Length       error, over; /* over 0: not said */
};

/* Of a handle: how far a turn of it moves, and one line of its dial. per_turn 0: not said. */
struct dial {
	struct bound bound;
	Length       per_turn, graduation;
};

struct dials {
	struct bound bound;
	struct dial  x, y, knee;
};

/* Of the table. */
struct power_feed {
	struct bound   bound;
	struct numbers rates; /* none: it is fed by hand */
	unsigned       axes;  /* 1 << enum along */
};

struct machine {
	struct bound      bound; /* bound.node NULL: no machine is known */
	enum machine_kind kind;
	struct spindle    spindle;
	struct feeds      feeds;
	struct travel     travel;
	struct tram       tram;
	struct dials      dials;
	struct power_feed power_feed;
};

/* What the drawing asks of the face; 0: nothing. */
struct finish {
	struct bound bound;
	Length       roughness, flatness; /* Ra */
};

struct vise {
	struct bound bound; /* bound.node NULL: none is known */
	Length       front_jaw, rear_jaw, jaw_width;
	int64_t      clamping_force_mn; /* 0: not said */
	int64_t      friction_ratio;
	Length       offset; /* of the part's middle from the screw, along X */
};

enum { CLAMPS_MAX = 64 };

/* Its left front corner is counted from the stock's; its height, to its top, from the stock's bottom. */
struct clamp {
	struct bound bound;
	Length       x, y; /* of either sign, or 0 */
	Length       length, width, height;
	int64_t      force_mn; /* 0: not said */
};

struct hold_wish {
	struct bound bound;
	int64_t      safety_factor;  /* wanted, against slipping and tipping */
	int64_t      friction_ratio; /* under clamps */
	struct named clamps;         /* struct clamp: at most CLAMPS_MAX */
};

/* A material of the user's own, as it is bound. */
struct own_material {
	struct bound bound;
	const char  *name;
	int          group; /* ISO 513, a letter */
	Speed        cutting_speed;
	Length       feed_per_tooth;
	enum coolant coolant;
	int64_t      kc11_factor, mc_factor; /* N/mm2; 0: the group's */
};

/* What the file says, where measured.h has put something else in its place; height 0: nothing was measured. */
struct told {
	Length height, test_cut, skim;
};

struct job {
	struct bound        bound;
	enum units          units;
	const char         *shop; /* NULL: none */
	const char         *title;
	struct own_material own_material; /* what the file says; `material` is made from it */
	struct material     material;
	struct stock        stock;
	Length              finished_height;
	struct told         told;
	struct named        cutters;       /* struct cutter: the shop's */
	struct cutter       cutter;        /* the job's own */
	bool                choose_cutter; /* none was named: the plan chooses among `cutters` */
	struct settings     cut;
	struct zero         zero;
	struct program      program;
	struct machine      machine;
	struct vise         vise;
	struct numbers      parallels; /* in no order, and one may stand there twice */
	struct hold_wish    hold;
	struct finish       finish;
};

/* The table of the whole job file, for the reference page and the JSON Schema. */
const struct mapping *job_mapping(void);

/* A machine is described, and it is worked by handles. */
bool job_is_manual(const struct job *job);

/* A choice as the file spells it, and as a phrase; "" when the table has none. */
const char *job_word(const struct choice *choices, int value);
const char *job_phrase(const struct choice *choices, int value);

extern const struct choice UNITS_WORDS[], CUTTER_KINDS[], EDGE_KINDS[], COOLANTS[];
extern const struct choice ZERO_XS[], ZERO_YS[], ZERO_ZS[];

#endif
