/* Cloths, dyes and colours of one's own. One block without pointers to other blocks: names lie inside, and kinds,
 * components and colours point at them, so a shelf must stay where it is. */
#ifndef THAW_SCENARIO_SHELF_H
#define THAW_SCENARIO_SHELF_H

#include <stdbool.h>

#include "model/specification.h"
#include "thawprint/shelf.h"

#define THAW_MAX_OWN_CLOTHS  24
#define THAW_MAX_OWN_COLOURS 48
#define THAW_MAX_FIBRES      6
#define THAW_OWN_NAME        48
#define THAW_OWN_TEXT        120

/* What a mixture is made of: colours of the table or dyes of one's own. */
typedef struct thaw_recipe {
    int n;
    struct {
        char name[THAW_OWN_NAME];
        double parts;
    } of[THAW_MAX_PARTS];
} thaw_recipe;

typedef struct thaw_own_cloth {
    char name[THAW_OWN_NAME];
    int file; /* 1, 2 ... in the order in which files were read */
    thaw_cloth_kind kind;
} thaw_own_cloth;

typedef struct thaw_own_dye {
    char name[THAW_OWN_NAME], generic[THAW_OWN_TEXT];
    int file;
    thaw_component component;
    thaw_colour colour; /* this dye alone */
} thaw_own_dye;

typedef struct thaw_own_colour {
    char name[THAW_OWN_TEXT];
    int file;
    thaw_recipe recipe;
    thaw_colour colour;
} thaw_own_colour;

/* A cloth of the table or of one's own, spun of several fibres. */
typedef struct thaw_blend {
    const thaw_cloth_kind *make; /* NULL: no blend */
    int n;
    const thaw_fibre *fibres[THAW_MAX_FIBRES];
    double shares[THAW_MAX_FIBRES];
    char name[2 * THAW_OWN_TEXT];
    thaw_cloth_kind kind;
} thaw_blend;

#define THAW_KITCHEN_CLOTHS 24

/* What a person's own kitchen does otherwise than the tables say: learnt from pieces that were recorded. */
typedef struct thaw_kitchen {
    bool is_set;
    double heat;                   /* times the exchange of heat with the room; 1 unless given */
    int n_cloths;
    struct {
        char name[THAW_OWN_NAME];  /* of the table or of one's own */
        double conductivity;       /* times what the cloth has */
        double spread;             /* in place of the cloth's conductivity-spread; 0: as it was */
    } cloths[THAW_KITCHEN_CLOTHS];
    /* Once applied: the cloth as it was, and as it is used. */
    const thaw_cloth_kind *plain;  /* NULL: nothing of this cloth is known otherwise */
    thaw_cloth_kind changed;
} thaw_kitchen;

struct thaw_shelf {
    int n_files;
    int n_cloths, n_dyes, n_colours;
    thaw_own_cloth cloths[THAW_MAX_OWN_CLOTHS];
    thaw_own_dye dyes[THAW_MAX_OWN_DYES];
    thaw_own_colour colours[THAW_MAX_OWN_COLOURS];
    thaw_own_colour mixed[THAW_MAX_DYE_ZONES]; /* mixtures written where the powder is laid; no recipe: none */
    thaw_blend blend;
    thaw_kitchen kitchen;
};

/* Of the table or of one's own, case ignored; NULL if unknown. */
const thaw_cloth_kind *thaw_shelf_find_cloth(const thaw_shelf *shelf, const char *name);
const thaw_colour *thaw_shelf_find_colour(const thaw_shelf *shelf, const char *name);
const thaw_component *thaw_shelf_find_dye(const thaw_shelf *shelf, const char *name);
/* The dye that a colour names as its component. */
const thaw_component *thaw_shelf_component(const thaw_shelf *shelf, int component);
/* Those that are one's own; NULL for rows of the tables. */
const thaw_own_cloth *thaw_shelf_own_cloth(const thaw_shelf *shelf, const thaw_cloth_kind *kind);
const thaw_own_colour *thaw_shelf_own_colour(const thaw_shelf *shelf, const thaw_colour *colour);
bool thaw_shelf_is_mixture(const thaw_shelf *shelf, const char *name); /* of one's own */

/* All names, those of the tables first; at most `most`. Returns how many. */
int thaw_shelf_cloth_names(const thaw_shelf *shelf, const char **names, int most);
int thaw_shelf_colour_names(const thaw_shelf *shelf, const char **names, int most);
int thaw_shelf_dye_names(const thaw_shelf *shelf, const char **names, int most);

#endif
