/** The index of the calculations, in groups, each with what it is for. Props in, HTML out. */
import { prose } from '../calculations/shown.ts';
import { type CalculationGroup, calculationGroups } from '../calculations/table.ts';
import { calculationWords } from '../messages.ts';
import { Layout, type Visit } from './layout.tsx';

const Group = ({ group, index }: { readonly group: CalculationGroup; readonly index: number }) => (
  <section class="sums" aria-labelledby={`sums-${index}`}>
    <h2 class="sums-title" id={`sums-${index}`}>
      {group.title}
    </h2>
    <ul>
      {group.calculations.map((one) => (
        <li>
          <a href={`/calculations/${one.name}`}>{one.title}</a>
          <p>{prose(one.purpose)}</p>
        </li>
      ))}
    </ul>
  </section>
);

export const calculationsPage = ({ visit }: { readonly visit: Visit | null }) => (
  <Layout title={calculationWords.title} visit={visit} here="calculations">
    <div class="opening">
      <h1>{calculationWords.title}</h1>
      <p class="lead">{calculationWords.lead}</p>
    </div>
    <div class="sums-columns">
      {calculationGroups.map((group, index) => (
        <Group group={group} index={index} />
      ))}
    </div>
  </Layout>
);
