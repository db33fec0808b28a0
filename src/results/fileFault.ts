/** Faults of the file system in words, for those a user can mend. */
import { UserError } from '../errors.ts';

const REASONS: Readonly<Record<string, string>> = {
  ENOSPC: 'the disk is full; make room or choose another place',
  EDQUOT: 'your disk quota is used up; make room or choose another place',
  EROFS: 'that place is read-only; choose another',
  EACCES: 'no permission there; choose another place or change its permissions',
  EPERM: 'no permission there; choose another place or change its permissions',
  ENOENT: 'it does not exist',
  ENOTDIR: 'a part of that path is a file, not a folder',
  EISDIR: 'it is a folder; expected a file',
  EEXIST: 'something of that name is already there',
  ENAMETOOLONG: 'the name is too long',
  EFBIG: 'the file would be larger than this file system allows',
  EIO: 'the disk reports a read or write error',
  EMFILE: 'too many files are open',
  ELOOP: 'its links lead in a circle',
  ENOTEMPTY: 'it is a folder with files in it; expected a file',
  ENXIO: 'it is no ordinary file',
  ENODEV: 'it is no ordinary file',
  EBUSY: 'something else uses it',
  EINVAL: 'that place takes no such file',
  ERR_INVALID_ARG_VALUE: 'that is no usable file name',
};

/**
 * What to throw for an error that came up while doing something with a path: a UserError where the user can mend it,
 * else the error as it was.
 * @param doing e.g. `cannot write`
 */
export function fileFault(error: unknown, doing: string, path: string): unknown {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const reason = REASONS[code];
  return reason === undefined ? error : new UserError(`${path}: ${doing}: ${reason}`);
}
