import { Combobox } from '@base-ui/react/combobox';

/** A small field that finds one of many things by typing and adds it at once. */
export function AddFromList({ label, items, empty, onAdd }: { label: string; items: readonly { readonly value: string; readonly label: string }[]; empty: string; onAdd: (value: string) => void }) {
  if (items.length === 0) return null;
  return (
    <Combobox.Root items={items} value={null} onValueChange={(next: { value: string } | null) => { if (next) onAdd(next.value); }}>
      <Combobox.Input className="add-load" placeholder={label} aria-label={label} />
      <Combobox.Portal>
        <Combobox.Positioner className="floating" sideOffset={2}>
          <Combobox.Popup className="choice-popup">
            <Combobox.Empty className="choice-empty">{empty}</Combobox.Empty>
            <Combobox.List>{(item: { value: string; label: string }) => <Combobox.Item key={item.value} value={item} className="choice-item">{item.label}</Combobox.Item>}</Combobox.List>
          </Combobox.Popup>
        </Combobox.Positioner>
      </Combobox.Portal>
    </Combobox.Root>
  );
}
