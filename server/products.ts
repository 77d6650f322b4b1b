import { holdersOf, roomsFor } from './roles/holders';
import type { Room } from './roles/rights';
import { allStudyRoles } from './store/roles';
import { listStudies } from './store/studies';
import type { Db, StudyRow } from './store/tables';

/** Studies by the product that they are about. A product is no more than the name that plans give it. */

/** Of a draft or of a locked plan, which name it alike; null where there is none. */
export function productOf({ plan }: Pick<StudyRow, 'plan'>): string | null {
  const { product } = JSON.parse(plan) as { product?: unknown };
  return typeof product === 'string' && product.trim() !== '' ? product.trim() : null;
}

/** Names that read the same are one product. */
export const productKey = (name: string): string => name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();

export interface ProductStudy {
  study: StudyRow;
  product: string;
  rooms: readonly Room[];
}

/** Every study of a product in which this person may go somewhere, the newest first. */
export async function studiesOfProducts(db: Db, staff: string): Promise<ProductStudy[]> {
  const found: ProductStudy[] = [];
  const given = await allStudyRoles(db);
  for (const study of await listStudies(db)) {
    const product = productOf(study);
    if (product === null) continue;
    const own = given.filter(({ study_id }) => study_id === study.id);
    const rooms = roomsFor(await holdersOf(db, study, own), staff, study);
    if (rooms.length > 0) found.push({ study, product, rooms });
  }
  return found;
}

/** Names of products in plans that this person may read, each as it was written last. */
export async function knownProducts(db: Db, staff: string): Promise<string[]> {
  const names = new Map<string, string>();
  for (const { product, rooms } of await studiesOfProducts(db, staff)) {
    if (rooms.includes('plan') && !names.has(productKey(product))) names.set(productKey(product), product);
  }
  return [...names.values()].sort((a, b) => a.localeCompare(b, 'en'));
}
