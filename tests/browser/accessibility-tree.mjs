/**
 * A command for component tests: the page's accessibility tree as Chromium gives it to a screen reader, as a flat list
 * of {role, name, value, …} in reading order, without the nodes that are ignored. The valuetext of a slider is what its
 * attribute aria-valuetext says (WAI-ARIA 1.2): some versions of Chromium put that into this tree, others the bare number.
 */
export const accessibilityTree = () => ({
  name: 'accessibility-tree',
  async executeCommand({ command, session }) {
    if (command !== 'accessibility-tree') return undefined;
    const page = session.browser.getPage(session.id);
    const client = await page.createCDPSession();
    try {
      const { nodes } = await client.send('Accessibility.getFullAXTree');
      const seen = nodes.filter((node) => !node.ignored);
      return await Promise.all(seen.map(async (node) => ({ ...plain(node), ...(await spokenValue(client, node)) })));
    } finally {
      await client.detach();
    }
  },
});

const spokenValue = async (client, { role, backendDOMNodeId }) => {
  if (role?.value !== 'slider' || backendDOMNodeId === undefined) return {};
  const { object } = await client.send('DOM.resolveNode', { backendNodeId: backendDOMNodeId });
  const { result } = await client.send('Runtime.callFunctionOn', {
    objectId: object.objectId,
    functionDeclaration: 'function () { return this.getAttribute("aria-valuetext"); }',
  });
  return result.value === null ? {} : { valuetext: result.value };
};

const plain = ({ role, name, description, value, properties = [] }) => ({
  role: role?.value,
  name: name?.value ?? '',
  description: description?.value ?? '',
  value: value?.value,
  ...Object.fromEntries(properties.map((property) => [property.name, property.value.value])),
});
