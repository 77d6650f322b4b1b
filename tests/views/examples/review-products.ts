import type { ProductsPage } from '../../../server/review/products/view-models';
import { frame, longName, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<ProductsPage> = {
  view: 'review/products',
  layout: 'staff',
  examples: [
    { name: 'empty', model: { ...frame('Products', null), products: [] } },
    {
      name: 'normal',
      model: {
        ...frame('Products', null),
        products: [
          { name: longName, url: '/products/bore', studies: '1 study', last: 'none unsealed yet' },
          { name: 'Nave', url: '/products/nave', studies: '4 studies', last: '3 unsealed' },
        ],
      },
    },
  ],
};
export default examples;
