/**
 * A command for component tests: the page's accessibility tree as Chromium gives it to a screen reader, as a flat list
 * of {role, name, value, …} in reading order, without the nodes that are ignored.
 */
export const accessibilityTree = () => ({
  name: 'accessibility-tree',
  async executeCommand({ command, session }) {
    if (command !== 'accessibility-tree') return undefined;
    const page = session.browser.getPage(session.id);
    const client = await page.createCDPSession();
    try {
      const { nodes } = await client.send('Accessibility.getFullAXTree');
      return nodes.filter((node) => !node.ignored).map(plain);
    } finally {
      await client.detach();
    }
  },
});

const plain = ({ role, name, description, value, properties = [] }) => ({
  role: role?.value,
  name: name?.value ?? '',
  description: description?.value ?? '',
  value: value?.value,
  ...Object.fromEntries(properties.map((property) => [property.name, property.value.value])),
});
