/* Strict reading of YAML nodes: each function takes a node and files a fault where it does not
 * fit. Every scalar is text to YAML; what it means is decided here. */
#ifndef THAW_SCENARIO_READER_H
#define THAW_SCENARIO_READER_H

#include <stdbool.h>
#include <stdint.h>

#include <yaml.h>

#include "base/quantity.h"
#include "scenario/faults.h"

struct thaw_pictures;

typedef struct thaw_reader {
    yaml_document_t *document;
    thaw_faults *faults;
    const thaw_units *units;
    const char *path;              /* of the scenario: pictures lie beside it */
    struct thaw_pictures *pictures;
} thaw_reader;

/* What a quantity may be. SI. */
typedef struct thaw_rule {
    const char *name; /* "cloth.width" */
    thaw_quantity kind;
    double lowest, highest;
    bool above;          /* `lowest` itself is not allowed */
    const char *allowed; /* in words: "5 cm to 10 m" */
} thaw_rule;

thaw_place thaw_reader_place(const yaml_node_t *node);
yaml_node_t *thaw_reader_node(const thaw_reader *reader, int id);

/* Values of a mapping by the index of their key in keys[0..n-1]; NULL where missing. Unknown and
 * repeated keys are faults. Returns false (all NULL) if the node is no mapping. */
bool thaw_reader_map(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     const char *const *keys, int n, yaml_node_t **values);
/* Text of a scalar, or NULL and a fault. */
const char *thaw_reader_text(const thaw_reader *reader, const yaml_node_t *node, const char *where);
/* True and *si set if the node is there and fits. */
bool thaw_reader_quantity(const thaw_reader *reader, const yaml_node_t *node, const thaw_rule *rule,
                          double *si);
/* Index of the word in words[0..n-1], case ignored; -1 if missing or, with a fault, unknown. */
int thaw_reader_word(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     const char *const *words, int n);
/* True and *value set if the node is there and is a whole number lowest..highest. */
bool thaw_reader_whole(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                       uint64_t lowest, uint64_t highest, uint64_t *value);

/* Items of a list, at most `most` of them (a fault beyond). -1 if the node is no list. */
int thaw_reader_list(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     int most, yaml_node_t **items);

/* A fault for a key that must be there. */
void thaw_reader_missing(const thaw_reader *reader, thaw_place place, const char *where,
                         const char *example);
/* A fault for a word that is not known, with the nearest of `known`. */
void thaw_reader_unknown(const thaw_reader *reader, thaw_place place, const char *where,
                         const char *word, const char *const *known, int n);

#endif
