// SPDX-License-Identifier: GPL-3.0-or-later
//
// extremes.sql by DuckDB: node extremes.js FOLDER
'use strict';
const fs = require('fs');
const path = require('path');
const { DuckDBInstance } = require('@duckdb/node-api');

const table = (folder, name, skip) => {
    const file = path.join(folder, `${name}.csv`).replaceAll("'", "''");
    return `CREATE VIEW ${name} AS FROM read_csv('${file}', header = true, skip = ${skip})`;
};

const main = async (folder) => {
    const query = fs.readFileSync(path.join(__dirname, 'extremes.sql'), 'utf8');
    const connection = await (await DuckDBInstance.create()).connect();
    await connection.run(table(folder, 'inspections', 1));
    await connection.run(table(folder, 'readings', 0));
    await connection.run(`COPY (${query}) TO '/dev/stdout' (FORMAT csv, HEADER false)`);
};

main(process.argv[2]).catch((error) => {
    console.error(error.message);
    process.exit(2);
});
