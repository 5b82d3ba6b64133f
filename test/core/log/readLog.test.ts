import { channelsOf, findChannel, freshSamples, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

const bytes = (text: string) => new TextEncoder().encode(text);

describe('readLog', () => {
  it('reads an ordinary log into SI with its dialect shown', () => {
    const log = readLog(
      bytes('Time (s);Engine speed (rpm);Vehicle speed (km/h);MAP (kPa)\n0,00;2000;36;101\n0,04;2010;36;102\n0,08;2021;37;103\n'),
      {
        path: 'a.csv',
      },
    );
    expect(log.dialect).toMatchObject({ delimiter: ';', decimal: ',', encoding: 'utf-8' });
    expect([...log.timeS]).toEqual([0, 0.04, 0.08]);
    expect([...findChannel(log, 'road-speed')!.values]).toEqual([10, 10, 37 / 3.6]);
    expect(findChannel(log, 'manifold-pressure')).toMatchObject({ reference: 'absolute', unit: 'kPa' });
    expect(log.findings).toEqual([]);
  });

  it('tells pedal from throttle and keeps both pedal tracks', () => {
    const log = readLog(
      bytes(
        'Time,Absolute Throttle Position [%],Accelerator Pedal Position D [%],Accelerator Pedal Position E [%]\n19:05:25.389,89,14.1,14.5\n19:05:25.489,89,14.1,14.5\n',
      ),
      { path: 'a.csv' },
    );
    expect(channelsOf(log, 'pedal').map((channel) => channel.name)).toEqual([
      'Accelerator Pedal Position D [%]',
      'Accelerator Pedal Position E [%]',
    ]);
    expect(channelsOf(log, 'throttle')).toHaveLength(1);
  });

  it('gives only fresh readings', () => {
    const log = readLog(bytes('Time (s),Engine speed (rpm)\n0.00,2000\n0.04,\n0.08,2021\n'), { path: 'a.csv' });
    expect([...freshSamples(log, findChannel(log, 'engine-speed')!).rows]).toEqual([0, 2]);
  });
});
