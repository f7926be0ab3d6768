// Reads drawings with dxf-parser. Names of files in, one a line; a line of
// JSON out for each: unit, layers of the table, and all entities.
const fs = require('fs');
const parser = require('dxf-parser');
const Parser = parser.default || parser;

for (const name of fs.readFileSync(0, 'utf8').split('\n').filter(Boolean)) {
  const d = new Parser().parseSync(fs.readFileSync(name, 'utf8'));
  console.log(JSON.stringify({
    version: d.header.$ACADVER,
    unit: d.header.$INSUNITS || 0,
    layers: Object.keys(d.tables.layer.layers),
    blocks: Object.keys(d.blocks || {}),
    entities: d.entities.map((e) => ({
      kind: e.type,
      layer: e.layer,
      closed: !!e.shape,
      vertices: (e.vertices || []).map((v) => [v.x, v.y, v.bulge || 0]),
      centre: e.center ? [e.center.x, e.center.y] : [0, 0],
      radius: e.radius || 0,
    })),
  }));
}
