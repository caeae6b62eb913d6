"""Philox4x32-10 written from Salmon and others 2011 (SC11, "Parallel random numbers: as easy as 1, 2, 3"),
apart from the Random123 headers. Prints seed, stream, index and the four words, as decimal CSV."""

M0, M1, W0, W1, MASK = 0xD2511F53, 0xCD9E8D57, 0x9E3779B9, 0xBB67AE85, 0xFFFFFFFF


def philox(counter, key):
    c, k = list(counter), list(key)
    for _ in range(10):
        p0, p1 = M0 * c[0], M1 * c[2]
        c = [(p1 >> 32) ^ c[1] ^ k[0], p1 & MASK, (p0 >> 32) ^ c[3] ^ k[1], p0 & MASK]
        k = [(k[0] + W0) & MASK, (k[1] + W1) & MASK]
    return c


# The known answers of the Random123 distribution (kat_vectors) hold this script to the truth.
assert philox([0] * 4, [0] * 2) == [0x6627E8D5, 0xE169C58D, 0xBC57AC4C, 0x9B00DBD8]
assert philox([0x243F6A88, 0x85A308D3, 0x13198A2E, 0x03707344], [0xA4093822, 0x299F31D0]) == [
    0xD16CFE09, 0x94FDCCEB, 0x5001E420, 0x24126EA1]

for seed in (0, 1, 20240501, 2**32 + 5, 2**64 - 1):
    for stream in (1, 2, 5, 99, 2**32 - 1):
        for index in (0, 1, 2**31, 2**32, 2**40 + 3, 2**64 - 1):
            words = philox([index & MASK, index >> 32, stream, 0], [seed & MASK, seed >> 32])
            print(",".join(str(x) for x in [seed, stream, index] + words))
