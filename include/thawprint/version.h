/* Version of the library, also written into every output. */
#ifndef THAWPRINT_VERSION_H
#define THAWPRINT_VERSION_H

#define THAW_VERSION "0.1.0"

/* Version of the library that is linked; never NULL. */
const char *thaw_version(void);

#endif
