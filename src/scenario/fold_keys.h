/* What each fold is called, its keys, what they may say and what they are when nothing is said: one table for
 * reading, for the resolved scenario and for the table of values. */
#ifndef THAW_SCENARIO_FOLD_KEYS_H
#define THAW_SCENARIO_FOLD_KEYS_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

typedef enum thaw_fold_value {
    THAW_FOLD_WHOLE,               /* int */
    THAW_FOLD_WORD,                /* an enum, counted as the words are */
    THAW_FOLD_AMOUNT,              /* double; a word may stand for it */
    THAW_FOLD_PICTURE,             /* name of a file; read by scenario/section_fold.c */
    THAW_FOLD_SUM                  /* check sum of that; likewise */
} thaw_fold_value;

typedef struct thaw_fold_key {
    thaw_fold_kind fold;
    thaw_fold_value value;
    size_t at;                     /* offset in thaw_fold */
    const char *name;              /* "pleats" */
    thaw_rule rule;                /* with the fold's name, "accordion.pleats"; words need no range */
    const char *const *words;      /* known words, NULL at the end; NULL for none */
    const double *amounts;         /* of an amount that has words */
    bool optional;                 /* an amount of 0 is not set and not written */
} thaw_fold_key;

const char *thaw_fold_keys_name(thaw_fold_kind kind);
/* Keys of a fold, in the order in which they are written. */
const thaw_fold_key *thaw_fold_keys_of(thaw_fold_kind kind, int *n);
thaw_fold thaw_fold_keys_default(thaw_fold_kind kind);
/* True if the node is there and fits; then the member of the fold is set. */
bool thaw_fold_keys_read(const thaw_fold_key *key, const thaw_reader *reader, const yaml_node_t *node,
                         thaw_fold *fold);
/* Text of the value: exact for reading again, or rounded for people. False if it is not set. */
bool thaw_fold_keys_print(const thaw_fold_key *key, const thaw_units *units, const thaw_fold *fold, bool exact,
                          char *out, size_t size);

#endif
