import type { ReadLimits } from '../limits.js';
import { problem, type Problem } from '../problem.js';
import type { FileTask, Reading } from '../reading.js';
import { Hdf5Fault, readHdf5 } from './hdf5.js';
import { measuredDirections } from './measuredDirections.js';
import { openSofa, SofaFault } from './openSofa.js';
import { takeOrbits } from './takeOrbits.js';

/**
 * Reads the two orbits out of a SOFA (AES69) directivity file: transfer functions become angle responses,
 * impulse responses stay impulse responses.
 */
export async function readSofaFile(task: FileTask, limits: ReadLimits): Promise<Reading> {
  if (task.content !== undefined && task.content !== 'directivity') {
    const message = `A SOFA file holds directivity and can't be read as ${task.content}.`;
    return {
      problems: [
        problem(
          task.file,
          undefined,
          'kind-not-read',
          message,
          'Correct its role in manifest.json or its name.',
        ),
      ],
    };
  }
  try {
    const reading = await readHdf5(task.bytes, (file) => {
      const sofa = openSofa(file, limits);
      return takeOrbits(task, sofa, measuredDirections(sofa));
    });
    return { content: 'directivity', ...reading };
  } catch (cause) {
    return { problems: [faultProblem(task.file, cause)] };
  }
}

function faultProblem(file: string, cause: unknown): Problem {
  if (cause instanceof SofaFault) return problem(file, undefined, cause.code, cause.message, cause.remedy);
  if (!(cause instanceof Hdf5Fault)) throw cause;
  const message = `The file can't be read as HDF5, which SOFA is kept in (${cause.message.split('\n')[0].slice(0, 160)}).`;
  return problem(file, undefined, 'sofa-damaged', message, 'Export or copy it again.');
}
